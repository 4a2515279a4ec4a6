// SPDX-License-Identifier: Apache-2.0
//
// One word of the chords lane. A chord symbol is a root, then the usual words and numbers of chord symbols in
// any order, then perhaps a bass note after a stroke; it is kept as it was typed.
#include <array>

#include "engine/text/strings.hpp"
#include "engine/text/syntax.hpp"

namespace lw::text {
namespace {

constexpr std::size_t longest_symbol = 24;

/// A root such as `F#` or `Bb` at the front; how many letters it takes, 0 when there is none.
std::size_t root(std::string_view text) {
    if (text.empty() || text.front() < 'A' || text.front() > 'G') return 0;
    return text.size() > 1 && (text[1] == '#' || text[1] == 'b') ? 2 : 1;
}

/// The words a chord symbol is made of, longer ones first.
bool chord_shaped(std::string_view text) {
    constexpr std::array<std::string_view, 24> pieces = {
        "maj", "min", "dim", "aug", "sus", "add", "alt", "omit", "no", "Maj", "MA", "mi",
        "ma",  "m",   "M",   "#",   "b",   "+",   "-",   "(",    ")",  "°",   "ø",  "Δ"};
    if (text.size() > longest_symbol) return false;
    const std::size_t start = root(text);
    if (start == 0) return false;
    text.remove_prefix(start);
    while (!text.empty()) {
        if (text.front() >= '0' && text.front() <= '9') {
            text.remove_prefix(1);
            continue;
        }
        if (text.front() == '/') {
            text.remove_prefix(1);
            const std::size_t bass = root(text);
            if (bass != 0 && bass == text.size()) return true;
            if (text.empty() || text.front() < '0' || text.front() > '9') return false;
            continue;
        }
        bool found = false;
        for (const std::string_view piece : pieces) {
            if (text.substr(0, piece.size()) != piece) continue;
            text.remove_prefix(piece.size());
            found = true;
            break;
        }
        if (!found) return false;
    }
    return true;
}

}  // namespace

Node read_chord(const Token& word, Report& report) {
    Node node;
    node.place = word.place;
    if (word.text == U"-")
        node.kind = Node::Kind::hold;
    else if (word.text == U".")
        node.kind = Node::Kind::rest;
    else if (word.text == U"=")
        node.kind = Node::Kind::again;
    else if (word.text == U"%")
        node.kind = Node::Kind::bar_again;
    else {
        node.symbol = utf8(word.text);
        if (chord_shaped(node.symbol)) {
            node.kind = Node::Kind::chord;
        } else {
            report.add(Fault::chord_unknown, word.place, {{"text", quoted(node.symbol)}});
        }
    }
    return node;
}

}  // namespace lw::text
