// SPDX-License-Identifier: Apache-2.0
//
// The harps one can buy: twelve keys, the low ones from low C to low F# and the high G.
#include "engine/harp/harp.hpp"
#include "engine/harp/plain_words.hpp"

namespace lw::harp {
namespace {

constexpr Key key_of_f_sharp{6};
constexpr Key key_of_g{7};

std::string_view register_word(Register octave) noexcept {
    switch (octave) {
        case Register::low:
            return "low ";
        case Register::high:
            return "high ";
        case Register::standard:
            break;
    }
    return "";
}

}  // namespace

std::string name(const Harp& harp) {
    return std::string{register_word(harp.octave)} + std::string{name(harp.key)};
}

tl::expected<Harp, std::string> harp_named(std::string_view text) {
    const std::string words = detail::plain_words(text);
    std::string_view rest = words;
    Harp harp;
    for (const Register octave : {Register::low, Register::high}) {
        const std::string_view word = register_word(octave);
        if (rest.substr(0, word.size()) == word) {
            harp.octave = octave;
            rest.remove_prefix(word.size());
            break;
        }
    }
    const std::optional<Key> key = key_named(rest);
    if (!key) {
        return tl::unexpected(words.empty() ? std::string{"The key of the harp is missing."}
                                            : "`" + std::string{text} + "` is not a key of harp.");
    }
    harp.key = *key;
    if (harp.octave == Register::low && harp.key > key_of_f_sharp) {
        return tl::unexpected("There is no " + name(harp) +
                              " harp here; low harps run from low C to low F#.");
    }
    if (harp.octave == Register::high && harp.key != key_of_g) {
        return tl::unexpected("There is no " + name(harp) + " harp here; the only high harp is high G.");
    }
    return harp;
}

}  // namespace lw::harp
