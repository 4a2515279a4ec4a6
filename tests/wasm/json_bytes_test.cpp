// SPDX-License-Identifier: GPL-3.0-or-later
//
// A text written apart from its object reads as the library (nlohmann::json) would have written it, byte for byte.
#include "wasm/json_bytes.hpp"

#include <gtest/gtest.h>

namespace lw::binding {
namespace {

TEST(JsonBytes, QuoteEveryByteAsTheLibraryDoes) {
    std::string every;
    for (int c = 0; c < 0x80; ++c) every += static_cast<char>(c);
    every += "\u00e9\u2669\U0001D15E";
    for (const std::string& text :
         {std::string{}, std::string{"<path d=\"M0 0\"/>\n"}, every, every + every}) {
        std::string out = "[";
        append_json_text(out, text);
        EXPECT_EQ(out, "[" + json_bytes(nlohmann::ordered_json(text)));
    }
}

TEST(JsonBytes, PutATextFirstAsTheLibraryDoes) {
    const std::string text = "<title>\"a\" & \\</title>";
    const nlohmann::ordered_json rest{{"width", 7.5}, {"notes", {1, 2}}};
    nlohmann::ordered_json whole{{"svg", text}};
    whole.update(rest);
    EXPECT_EQ(json_bytes("svg", text, rest), json_bytes(whole));
}

}  // namespace
}  // namespace lw::binding
