// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/run_sheet.hpp"

#include <fmt/format.h>
#include <md4c-html.h>

#include <algorithm>
#include <cmath>

#include "engine/lick/breath_budget.hpp"
#include "engine/lick/say.hpp"
#include "engine/lick/unfold.hpp"
#include "engine/lick/walk_through.hpp"

namespace lw::pack {
namespace {

/// Titles and credits are a teacher's words, not Markdown: what would format them is set apart.
std::string plain(std::string_view words) {
    std::string text;
    for (const char c : words) {
        if (std::string_view{"\\`*_{}[]<>#|!~&"}.find(c) != std::string_view::npos) text += '\\';
        text += c;
    }
    return text;
}

std::string harp_to_hold(const lick::Lick& lick) {
    std::string text = harp::name(lick.head.harp);
    if (lick.head.harp.tuning.name != harp::standard_tuning().name) text += ", " + lick.head.harp.tuning.name;
    return text;
}

std::string out_of_breath_advice(const lick::Lick& lick) {
    const lick::Unfolded played = lick::unfold(lick);
    const auto stretches = lick::out_of_breath(lick, played);
    if (stretches.empty()) return {};
    const bool blowing = stretches.front().breath == lick::Breath::blow;
    return fmt::format("Watch the air: the lungs run {} before this one ends. Show where you breathe.",
                       blowing ? "empty" : "full");
}

}  // namespace

int ladder_tempo(const lick::Lick& lick, int percent) noexcept {
    return std::max(1, static_cast<int>(std::lround(lick.head.tempo.value * percent / 100.0)));
}

std::string run_sheet_markdown(const text::Lesson& lesson, const text::House& house) {
    std::string md = fmt::format("# Run sheet: {}\n\n", plain(lesson.title));
    std::string from = plain(house.name);
    if (!lesson.date.empty()) from += (from.empty() ? "" : ", ") + lesson.date;
    if (!from.empty()) md += from + "\n\n";

    md += "| | lick | harp to hold | slow | fast | count |\n|---|---|---|---|---|---|\n";
    std::string held;
    for (std::size_t i = 0; i < lesson.licks.size(); ++i) {
        const text::LessonLick& l = lesson.licks[i];
        const std::string harp = harp_to_hold(l.lick);
        const auto& ladder = l.clips.ladder_percent;
        const auto [slow, fast] = std::minmax_element(ladder.begin(), ladder.end());
        md += fmt::format("| {} | {} | {} | {} | {} | {} |\n", i + 1, plain(l.lick.head.title),
                          harp == held ? harp : "**" + harp + "**", ladder_tempo(l.lick, *slow),
                          ladder_tempo(l.lick, *fast), lick::say_count_in(l.lick));
        held = harp;
    }
    md += "\n**Bold**: change harps here. Slow and fast are beats a minute.\n";

    // The lesson in its own order: the prose is what the teacher says, the licks are what is shown.
    for (const text::Passage& passage : lesson.passages) {
        if (!passage.lick) {
            md += "\n" + passage.prose;
            if (!passage.prose.empty() && passage.prose.back() != '\n') md += "\n";
            continue;
        }
        const std::size_t i = *passage.lick;
        const text::LessonLick& l = lesson.licks[i];
        const lick::WalkThrough told = lick::walk_through(l.lick);
        md += fmt::format("\n### {}. {}\n\n{}\n\n{}\n\n", i + 1, plain(l.lick.head.title), plain(told.what),
                          plain(told.count));
        for (const std::string& bar : told.bars) md += "- " + plain(bar) + "\n";
        if (const std::string advice = out_of_breath_advice(l.lick); !advice.empty())
            md += "\n" + advice + "\n";
        for (const std::string& link : l.lick.head.more) md += "\nFull lesson: " + plain(link) + "\n";
        if (!l.lick.head.credit.empty()) md += "\nWhere it comes from: " + plain(l.lick.head.credit) + "\n";
    }
    return md;
}

std::string run_sheet_html(const text::Lesson& lesson, const text::House& house) {
    const std::string md = run_sheet_markdown(lesson, house);
    std::string body;
    const auto append = [](const MD_CHAR* bytes, MD_SIZE size, void* to) {
        static_cast<std::string*>(to)->append(bytes, size);
    };
    md_html(md.data(), static_cast<MD_SIZE>(md.size()), append, &body, MD_FLAG_TABLES | MD_FLAG_NOHTML, 0);
    std::string title;
    for (const char c : lesson.title) {
        if (c == '<')
            title += "&lt;";
        else if (c == '&')
            title += "&amp;";
        else
            title += c;
    }
    // Empty header cells say nothing to a screen reader.
    if (const auto at = body.find("<th></th>"); at != std::string::npos)
        body.replace(at, 9, "<th>number</th>");
    return fmt::format(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>Run sheet: "
        "{}</title>\n"
        "<style>\n"
        "body{{font:1.05rem/1.5 system-ui,sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem;"
        "color:#1b1a17;background:#fffdf8}}\n"
        "h1{{line-height:1.2}}h2,h3{{line-height:1.25}}h2{{margin-top:2.2rem;border-top:2px solid "
        "#d8d0bf;padding-top:.8rem}}\n"
        "table{{border-collapse:collapse;width:100%}}th,td{{text-align:left;padding:.35rem .6rem;"
        "border-bottom:1px solid #d8d0bf;vertical-align:top}}\nli{{margin:.3rem 0}}\n"
        "@media "
        "print{{body{{margin:0;max-width:none;background:#fff}}h2{{break-after:avoid}}li{{break-inside:avoid}"
        "}}}\n"
        "@media (prefers-color-scheme:dark){{@media screen{{body{{color:#f3eee2;background:#171613}}"
        "th,td,h2{{border-color:#3d3a33}}}}}}\n"
        "</style>\n</head>\n<body>\n<main>\n{}</main>\n</body>\n</html>\n",
        title, body);
}

}  // namespace lw::pack
