// SPDX-License-Identifier: Apache-2.0
#include "engine/text/fences.hpp"

#include <algorithm>
#include <array>

#include "engine/text/strings.hpp"

namespace lw::text {
namespace {

std::size_t spaces_before(std::string_view line) {
    std::size_t n = 0;
    while (n < line.size() && line[n] == ' ') ++n;
    return n;
}

bool blank(std::string_view line) {
    return line.find_first_not_of(" \t") == std::string_view::npos;
}

/// Three or more ` or ~ at the front of `text`; how many.
std::size_t run_of_marks(std::string_view text) {
    if (text.empty() || (text.front() != '`' && text.front() != '~')) return 0;
    std::size_t n = 0;
    while (n < text.size() && text[n] == text.front()) ++n;
    return n >= 3 ? n : 0;
}

bool opens(std::string_view line, Fence& fence) {
    fence.indent = spaces_before(line);
    if (fence.indent > 3) return false;
    line.remove_prefix(fence.indent);
    const std::size_t marks = run_of_marks(line);
    if (marks == 0) return false;
    fence.mark = line.substr(0, marks);
    const std::string_view info = trimmed(line.substr(marks));
    if (fence.mark.front() == '`' && info.find('`') != std::string_view::npos) return false;
    fence.info = info;
    return true;
}

bool closes(std::string_view line, const Fence& fence) {
    const std::size_t indent = spaces_before(line);
    if (indent > 3) return false;
    line.remove_prefix(indent);
    const std::size_t marks = run_of_marks(line);
    return marks >= fence.mark.size() && line.front() == fence.mark.front() && blank(line.substr(marks));
}

/// A lick's fence behind a list mark, a quotation mark or a deep indentation.
bool hidden_lick(std::string_view line) {
    bool container = spaces_before(line) > 3;
    while (true) {
        line = trimmed(line);
        if (line.empty()) return false;
        std::size_t mark = 0;
        if (line.front() == '>' || line.front() == '-' || line.front() == '*' || line.front() == '+') {
            mark = 1;
        } else {
            while (mark < line.size() && line[mark] >= '0' && line[mark] <= '9') ++mark;
            if (mark > 0 && mark < line.size() && (line[mark] == '.' || line[mark] == ')'))
                ++mark;
            else
                mark = 0;
        }
        if (mark == 0) break;
        container = true;
        line.remove_prefix(mark);
    }
    Fence fence;
    return container && opens(line, fence) && fence.lick();
}

/// How an HTML block that starts on this line ends: at a line with this text, or, when empty, at a blank line.
/// Nothing when no block starts here.
struct HtmlEnd {
    bool starts = false;
    std::vector<std::string_view> at;
};
HtmlEnd html_block(std::string_view line) {
    static constexpr std::array<std::string_view, 62> tags = {
        "address",  "article",  "aside",    "base",       "basefont", "blockquote", "body",   "caption",
        "center",   "col",      "colgroup", "dd",         "details",  "dialog",     "dir",    "div",
        "dl",       "dt",       "fieldset", "figcaption", "figure",   "footer",     "form",   "frame",
        "frameset", "h1",       "h2",       "h3",         "h4",       "h5",         "h6",     "head",
        "header",   "hr",       "html",     "iframe",     "legend",   "li",         "link",   "main",
        "menu",     "menuitem", "nav",      "noframes",   "ol",       "optgroup",   "option", "p",
        "param",    "search",   "section",  "summary",    "table",    "tbody",      "td",     "tfoot",
        "th",       "thead",    "title",    "tr",         "track",    "ul"};
    if (spaces_before(line) > 3) return {};
    const std::string text = lowered(trimmed(line));
    const std::string_view t = text;
    if (t.substr(0, 4) == "<!--") return {true, {"-->"}};
    if (t.substr(0, 2) == "<?") return {true, {"?>"}};
    if (t.substr(0, 9) == "<![cdata[") return {true, {"]]>"}};
    if (t.size() > 2 && t.substr(0, 2) == "<!" && is_letter(static_cast<char32_t>(t[2])))
        return {true, {">"}};
    if (t.empty() || t.front() != '<') return {};
    const bool closing = t.size() > 1 && t[1] == '/';
    std::size_t end = closing ? 2 : 1;
    const std::size_t begin = end;
    while (end < t.size() &&
           (is_letter(static_cast<char32_t>(t[end])) || is_digit(static_cast<char32_t>(t[end]))))
        ++end;
    const std::string_view tag = t.substr(begin, end - begin);
    const bool parted = end == t.size() || t[end] == ' ' || t[end] == '\t' || t[end] == '>';
    if (!closing && parted && (tag == "pre" || tag == "script" || tag == "style" || tag == "textarea"))
        return {true, {"</pre>", "</script>", "</style>", "</textarea>"}};
    if (std::find(tags.begin(), tags.end(), tag) != tags.end() && (parted || t.substr(end, 2) == "/>"))
        return {true, {}};
    return {};
}

std::size_t past_html(const std::vector<std::string_view>& lines, std::size_t i, const HtmlEnd& html) {
    for (; i < lines.size(); ++i) {
        if (html.at.empty()) {
            if (blank(lines[i])) return i;
            continue;
        }
        const std::string line = lowered(lines[i]);
        for (const std::string_view end : html.at) {
            if (line.find(end) != std::string::npos) return i + 1;
        }
    }
    return i;
}

}  // namespace

bool Fence::lick() const {
    return info.substr(0, info.find_first_of(" \t")) == "lick";
}

std::vector<Fence> find_fences(const std::vector<std::string_view>& lines, std::size_t first) {
    std::vector<Fence> fences;
    for (std::size_t i = first; i < lines.size();) {
        Fence fence;
        fence.first = i;
        if (opens(lines[i], fence)) {
            ++i;
            while (i < lines.size() && !closes(lines[i], fence)) ++i;
            fence.closed = i < lines.size();
            if (fence.closed) ++i;
            fence.end = i;
            fences.push_back(std::move(fence));
            continue;
        }
        const HtmlEnd html = html_block(lines[i]);
        if (html.starts) {
            i = past_html(lines, i, html);
            continue;
        }
        if (hidden_lick(lines[i])) {
            fence.inside = true;
            fence.end = i + 1;
            fences.push_back(std::move(fence));
        }
        ++i;
    }
    return fences;
}

std::string_view unindented(std::string_view line, std::size_t indent, std::size_t& taken) {
    taken = std::min(indent, spaces_before(line));
    return line.substr(taken);
}

}  // namespace lw::text
