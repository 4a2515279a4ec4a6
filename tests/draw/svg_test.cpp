// SPDX-License-Identifier: GPL-3.0-or-later
//
// The text of our SVG. What renderers make of it is tests/print/renderers_test.cpp.
#include "engine/draw/svg.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <clocale>
#include <regex>
#include <set>

#include "engine/draw/font.hpp"
#include "engine/draw/harp_chart.hpp"

namespace {

using namespace lw::draw;
using testing::HasSubstr;
using testing::Not;

Command words(std::string text) {
    Command c;
    c.kind = Command::Kind::words;
    c.part = Part::number;
    c.owner = 3;
    c.words = std::move(text);
    c.at = {10, 20};
    c.size = 12;
    c.face = Face::bold;
    c.fill = Ink::ink;
    return c;
}

Picture with(Command c) {
    Picture p;
    p.width = 100;
    p.height = 50.5;
    p.commands.push_back(std::move(c));
    return p;
}

Picture path(std::vector<Segment> segments) {
    Command c;
    c.part = Part::bend_mark;
    c.segments = std::move(segments);
    c.stroke = Ink::rule;
    c.stroke_width = 0.75;
    c.round_ends = false;
    return with(std::move(c));
}

std::string drawn(const Picture& picture, const SvgChoices& choices = {}) {
    return svg(picture, theme(Look::sheet), choices);
}

// SVG 1.1 (W3C), sections 5.1 and 8.3: path data, relative steps, and the pen back at the start after `z`.
TEST(Svg, WholeFileOfASmallPicture) {
    using K = Segment::Kind;
    EXPECT_EQ(drawn(path({{K::move, {10, 10.004}, {}, {}},
                          {K::line, {20.5, 10.0}, {}, {}},
                          {K::line, {20.5, 9.25}, {}, {}},
                          {K::line, {0, 0}, {}, {}},
                          {K::cubic, {1, 1}, {2, 0}, {3, -1.333}},
                          {K::close, {}, {}, {}},
                          {K::move, {11, 11}, {}, {}},
                          {K::line, {12, 12}, {}, {}}}),
                    {.title = "A & B"}),
              "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" "
              "version=\"1.1\""
              " width=\"100pt\" height=\"50.5pt\" viewBox=\"0 0 100 50.5\" stroke-linecap=\"round\""
              " stroke-linejoin=\"round\" role=\"img\" lang=\"en\" aria-labelledby=\"lw-title\">\n"
              "<title id=\"lw-title\">A &amp; B</title>\n"
              "<rect width=\"100\" height=\"50.5\" fill=\"#ffffff\"/>\n"
              "<path data-part=\"bend-mark\" fill=\"none\" stroke=\"#d8d0bf\" stroke-width=\".75\""
              " stroke-linecap=\"butt\" stroke-linejoin=\"miter\""
              " d=\"m10 10h10.5v-.75l-20.5-9.25c1 1 2 0 3-1.33zm1 1 1 1\"/>\n"
              "</svg>\n");
}

// A thousand thirds of a point to the right: each is rounded, their sum is not.
TEST(Svg, RoundingDoesNotAddUp) {
    std::vector<Segment> segments = {{Segment::Kind::move, {0, 0}, {}, {}}};
    for (int i = 1; i <= 1000; ++i)
        segments.push_back({Segment::Kind::line, {i / 3.0, i % 2 == 0 ? 0.0 : 1.0}, {}, {}});
    const std::string text = drawn(path(segments));
    const std::string data = text.substr(text.find(" d=\"m0 0") + 8);
    const std::regex number("-?[0-9]*\\.?[0-9]+");
    double x = 0;
    int count = 0;
    const std::string path_data = data.substr(0, data.find('"'));
    for (auto it = std::sregex_iterator(path_data.begin(), path_data.end(), number);
         it != std::sregex_iterator(); ++it)
        if (count++ % 2 == 0) x += std::stod(it->str());
    EXPECT_EQ(count, 2000);
    EXPECT_NEAR(x, 333.33, 0.006);
}

TEST(Svg, EachShapeStandsOnceAndIdsAreUnique) {
    Picture p = with(words("344\u00A0 43"));
    p.commands.push_back(words("4"));
    const std::string text = drawn(p, {.id = "lick-2"});
    std::set<std::string> ids;
    const std::regex id("<path id=\"([^\"]+)\"");
    for (auto it = std::sregex_iterator(text.begin(), text.end(), id); it != std::sregex_iterator(); ++it)
        EXPECT_TRUE(ids.insert((*it)[1]).second) << (*it)[1];
    EXPECT_EQ(ids, (std::set<std::string>{"lick-2-b33", "lick-2-b34"}));
    const std::regex use("xlink:href=\"#([^\"]+)\"");
    int uses = 0;
    for (auto it = std::sregex_iterator(text.begin(), text.end(), use); it != std::sregex_iterator();
         ++it, ++uses)
        EXPECT_EQ(ids.count((*it)[1]), 1U);
    EXPECT_EQ(uses, 6);
    EXPECT_THAT(text, HasSubstr("data-part=\"number\" data-owner=\"3\""));
    EXPECT_THAT(text, HasSubstr("transform=\"translate(10 20)scale(.012)\""));
}

TEST(Svg, WordsCanStayWordsInTheRoomMeasuredForThem) {
    Command c = words("G7 <b> & \"x\"");
    c.anchor = Anchor::middle;
    const std::string text = drawn(with(c), {.words = SvgChoices::Words::text});
    EXPECT_THAT(text, HasSubstr("font-family=\"'Atkinson Hyperlegible Next'"));
    EXPECT_THAT(text, HasSubstr(">G7 &lt;b&gt; &amp; &quot;x&quot;</text>"));
    EXPECT_THAT(text, HasSubstr("font-weight=\"700\""));
    EXPECT_THAT(text, Not(HasSubstr("<defs>")));
    const std::size_t at = text.find("textLength=\"") + 12;
    EXPECT_NEAR(std::stod(text.substr(at)), width(Face::bold, c.words, 12), 0.006);
}

// XML 1.0 (W3C), section 2.2: characters that no document may hold.
TEST(Svg, EscapesWhatXmlForbids) {
    EXPECT_EQ(xml_escaped("a<b>&\"c\"'"), "a&lt;b&gt;&amp;&quot;c&quot;'");
    EXPECT_EQ(xml_escaped(std::string_view("\0\x01\x1F", 3)), "\uFFFD\uFFFD\uFFFD");
    EXPECT_EQ(xml_escaped("\xFFz\uFFFE\uFFFF"), "\uFFFDz\uFFFD\uFFFD");
    EXPECT_EQ(xml_escaped("Łódź 🎵\n\t"), "Łódź 🎵\n\t");
}

TEST(Svg, ATitleCannotBreakOut) {
    const std::string text = drawn(with(words("1")), {.title = "</title><script>", .id = "\"><script>"});
    EXPECT_THAT(text, Not(HasSubstr("<script")));
}

TEST(Svg, InksWithAlphaSaySo) {
    Command c = words("1");
    c.fill = Ink::ground;
    const std::string text = svg(with(c), theme(Look::overlay), {.paper = false});
    EXPECT_THAT(text, HasSubstr("fill=\"#12110f\" fill-opacity=\".82\""));
    EXPECT_THAT(text, Not(HasSubstr("<rect")));
}

// RFC 4648, section 10: test vectors.
TEST(Svg, ALogoTravelsInside) {
    Command c;
    c.kind = Command::Kind::image;
    c.part = Part::logo;
    c.box = {1, 2, 3, 4};
    const std::pair<const char*, const char*> vectors[] = {{"f", "Zg=="},         {"fo", "Zm8="},
                                                           {"foo", "Zm9v"},       {"foob", "Zm9vYg=="},
                                                           {"fooba", "Zm9vYmE="}, {"foobar", "Zm9vYmFy"}};
    for (const auto& [bytes, text] : vectors)
        EXPECT_THAT(drawn(with(c), {.logo_png = bytes}),
                    HasSubstr(std::string("data:image/png;base64,") + text + "\""));
    EXPECT_THAT(drawn(with(c)), Not(HasSubstr("<image")));
}

TEST(Svg, SameTextEveryTimeWhateverTheLocale) {
    const Picture picture = harp_chart_picture(harp_chart(lw::harp::harp_named("C").value(), 2));
    const std::string once = drawn(picture);
    const char* before = std::setlocale(LC_ALL, nullptr);
    const std::string kept = before != nullptr ? before : "C";
    for (const char* locale : {"de_DE.UTF-8", "fr_FR.UTF-8", "C"}) {
        std::setlocale(LC_ALL, locale);  // where it is not installed, nothing changes
        EXPECT_EQ(drawn(picture), once);
    }
    std::setlocale(LC_ALL, kept.c_str());
    EXPECT_LT(once.size(), 100'000U) << "shapes are shared";
    // A description for who cannot see it.
    EXPECT_THAT(once, HasSubstr("<desc id=\"lw-desc\">C harp, standard tuning, 2nd position"));
    EXPECT_THAT(once, HasSubstr("aria-labelledby=\"lw-desc\""));
}

TEST(Svg, EveryPartHasANameOfItsOwn) {
    std::set<std::string_view> names;
    for (int i = 0; i <= static_cast<int>(Part::mark); ++i) {
        const std::string_view n = name(static_cast<Part>(i));
        EXPECT_FALSE(n.empty()) << i;
        EXPECT_TRUE(names.insert(n).second) << n;
        EXPECT_EQ(n.find_first_not_of("abcdefghijklmnopqrstuvwxyz-"), std::string_view::npos) << n;
    }
}

}  // namespace
