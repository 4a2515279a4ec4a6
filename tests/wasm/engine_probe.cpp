// SPDX-License-Identifier: GPL-3.0-or-later
//
// The native side of the comparison with WebAssembly: asks the questions of wasm/answers.hpp, compiled for
// this machine, and leaves every answer as a file.
//
//     engine_probe FOLDER
//
// Writes FOLDER/harps.json: for every harp that is made (and some that are not) in every position, the
// question and the answer.
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "engine/harp/harp.hpp"
#include "wasm/answers.hpp"

namespace {

namespace fs = std::filesystem;
using lw::binding::Answer;
using Json = nlohmann::ordered_json;

void put(const fs::path& file, const std::string& bytes) {
    std::ofstream out(file, std::ios::binary);
    out << bytes;
    out.close();
    if (!out) {
        std::fprintf(stderr, "engine_probe: cannot write %s\n", file.c_str());
        std::exit(1);
    }
}

Json harps() {
    Json all = Json::array();
    for (const std::string octave : {"", "low ", "high "}) {
        for (int key = 0; key < 12; ++key) {
            const std::string name = octave + std::string{lw::harp::name(lw::harp::Key{key})};
            for (int position = 1; position <= 12; ++position) {
                const Answer answer = lw::binding::harp(name, position);
                all.push_back({{"name", name},
                               {"position", position},
                               {"status", answer.status},
                               {"answer", answer.bytes}});
            }
        }
    }
    return all;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fprintf(stderr, "usage: engine_probe FOLDER\n");
        return 2;
    }
    const fs::path folder = argv[1];
    fs::create_directories(folder);
    put(folder / "harps.json", harps().dump());
}
