// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/files/digest.hpp"

#include <openssl/evp.h>

#include <array>

namespace lw::files {

std::string sha256(std::string_view bytes) {
    std::array<unsigned char, EVP_MAX_MD_SIZE> raw{};
    unsigned length = 0;
    EVP_Digest(bytes.data(), bytes.size(), raw.data(), &length, EVP_sha256(), nullptr);
    static constexpr char digits[] = "0123456789abcdef";
    std::string text;
    for (unsigned i = 0; i < length; ++i) {
        text += digits[raw[i] >> 4];
        text += digits[raw[i] & 15];
    }
    return text;
}

}  // namespace lw::files
