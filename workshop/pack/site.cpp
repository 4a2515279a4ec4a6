// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/site.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "engine/draw/svg.hpp"
#include "engine/draw/theme.hpp"
#include "engine/harp/harp.hpp"
#include "engine/text/slug.hpp"

namespace lw::pack {
namespace {

// The practice page's own measures (web/practice/practice.css).
constexpr std::string_view style =
    "*{box-sizing:border-box}"
    ":root{font:400 100%/1.5 \"Atkinson Hyperlegible Next\",\"Atkinson Hyperlegible\",system-ui,sans-serif;"
    "background:var(--lw-paper);color:var(--lw-ink)}"
    "body{margin:0 auto;max-width:46rem;padding:1.5rem 1.25rem 3rem}"
    "h1{font-size:clamp(1.6rem,1.1rem + 2vw,2.2rem);line-height:1.15;margin:0 0 1.2rem;text-wrap:balance}"
    "ul{list-style:none;margin:0;padding:0}"
    "main>ul>li{border-top:1px solid var(--lw-rule);padding:1rem 0 1.1rem}"
    "h2{font-size:1.3rem;line-height:1.25;margin:0}"
    "h2 a{color:inherit;text-decoration-thickness:2px;text-underline-offset:.18em;"
    "text-decoration-color:var(--lw-accent)}"
    "a:focus-visible{outline:3px solid var(--lw-accent);outline-offset:3px}"
    "time,.harp,.house{color:var(--lw-soft)}p{margin:0}"
    "li li{display:flex;flex-wrap:wrap;gap:0 .8rem;padding-top:.3rem}"
    "@media print{h2 a{text-decoration:none}}";

std::string look(const text::House& house) {
    const auto colour = draw::colour_from(house.colour);
    return fmt::format(":root{{{}}}@media(prefers-color-scheme:dark){{:root{{{}}}}}{}",
                       draw::css(draw::theme(draw::Look::light, colour)),
                       draw::css(draw::theme(draw::Look::dark, colour)), style);
}

}  // namespace

std::string page_name(const text::Lesson& lesson) {
    return text::title_slug(lesson.title) + ".html";
}

std::string index_page(std::span<const text::Lesson> lessons, const text::House& house) {
    std::vector<const text::Lesson*> order;
    for (const text::Lesson& l : lessons) order.push_back(&l);
    // ISO dates sort as text; an empty one is last.
    std::stable_sort(order.begin(), order.end(),
                     [](const auto* a, const auto* b) { return a->date > b->date; });
    const std::string title =
        house.name.empty() ? std::string{"Practice pages"} : draw::xml_escaped(house.name);
    std::string page = fmt::format(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
        "'unsafe-inline'\">\n<meta name=\"color-scheme\" content=\"light dark\">\n"
        "<title>{0}</title>\n<style>{1}</style>\n</head>\n<body>\n<main>\n<h1>{0}</h1>\n<ul>\n",
        title, look(house));
    for (const text::Lesson* l : order) {
        page +=
            fmt::format("<li>\n<h2><a href=\"{}\">{}</a></h2>\n", page_name(*l), draw::xml_escaped(l->title));
        if (!l->date.empty()) page += fmt::format("<time datetime=\"{0}\">{0}</time>\n", l->date);
        page += "<ul>\n";
        for (const text::LessonLick& lick : l->licks)
            page += fmt::format("<li>{} <span class=\"harp\">harp in {}</span></li>\n",
                                draw::xml_escaped(lick.lick.head.title),
                                draw::xml_escaped(harp::name(lick.lick.head.harp)));
        page += "</ul>\n</li>\n";
    }
    page += "</ul>\n</main>\n</body>\n</html>\n";
    return page;
}

}  // namespace lw::pack
