// SPDX-License-Identifier: GPL-3.0-or-later
//
// The native side of the comparison with WebAssembly: asks the questions of wasm/answers.hpp, compiled for
// this machine, and leaves every answer as a file.
//
//     engine_probe FOLDER LESSON BAD_FOLDER RANDOM
//
// Writes FOLDER/harps.json: for every harp that is made (and some that are not) in every position, the
// question and the answer. FOLDER/lesson.md and lesson.json: the lesson and what was read in it. Then cases:
// every lick of the lesson, every *.lick file below BAD_FOLDER, and RANDOM licks made by chance, as
// FOLDER/NNN.lick with NNN.read.json .explain.txt .tidy.txt .told.txt .reeds.json .draw.json .line.json .mid .plain.mid
// .f32 .left .heard.json beside it; FOLDER/cases.json lists them.
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <span>
#include <string>
#include <vector>

#include "engine/harp/harp.hpp"
#include "engine/text/text.hpp"
#include "tests/support/random_lick.hpp"
#include "wasm/answers.hpp"
#include "wasm/ear.hpp"

namespace {

namespace fs = std::filesystem;
using lw::binding::Answer;
using Json = nlohmann::ordered_json;

std::string bytes_of(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    if (!in) {
        std::fprintf(stderr, "engine_probe: cannot read %s\n", file.c_str());
        std::exit(1);
    }
    return {std::istreambuf_iterator<char>(in), {}};
}

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

struct Case {
    std::string name;
    std::string source;
    bool sound = false;  // samples take their time: the lesson's licks and a few of the others
};

std::vector<Case> cases_of(const Json& lesson, const fs::path& bad_folder, int random) {
    std::vector<Case> cases;
    for (const Json& l : lesson["licks"]) cases.push_back({l["slug"], l["source"], true});
    std::vector<fs::path> bad;
    for (const fs::directory_entry& entry : fs::recursive_directory_iterator(bad_folder))
        if (entry.path().extension() == ".lick") bad.push_back(entry.path());
    std::sort(bad.begin(), bad.end());
    for (const fs::path& file : bad)
        cases.push_back({fs::relative(file, bad_folder).string(), bytes_of(file), false});
    for (int i = 0; i < random; ++i) {
        const auto seed = static_cast<std::uint64_t>(i + 1);
        cases.push_back({"random " + std::to_string(seed),
                         lw::text::write_lick(lw::support::random_lick(seed, {4, 6})), i < 3});
    }
    return cases;
}

/// Asks everything about one lick; gives back whether it is good (0) or has errors (1).
int answer(const fs::path& folder, const std::string& number, const Case& c) {
    namespace ask = lw::binding;
    const auto keep = [&](const char* ending, const Answer& answer) {
        put(folder / (number + ending), answer.bytes);
        return answer.status;
    };
    put(folder / (number + ".lick"), c.source);
    const int status = keep(".read.json", ask::read(c.source, 1));
    keep(".explain.txt", ask::explain(c.source, "lick", 1));
    keep(".tidy.txt", ask::tidy(c.source));
    if (status != 0)
        keep(".sketch.json", ask::picture("\n" + c.source, {.width = 420.0, .id = "lw1", .sketch = true}));
    if (status != 0) return status;
    keep(".harp.json", ask::harp_of(c.source));
    keep(".reeds.json", ask::reeds("low D\n" + c.source));
    keep(".sheet.json", ask::sheet(c.source, false, "sheet1-"));
    keep(".told.txt", ask::told("Bb\n" + c.source));
    keep(".draw.json", ask::drawing(c.source, 480.0));
    keep(".line.json", ask::drawing(c.source, 0.0));
    keep(".mid", ask::midi(c.source, false));
    keep(".plain.mid", ask::midi(c.source, true));
    // What a page asks: on the lick's own harp, and on an A harp.
    keep(".picture.json",
         ask::picture("\n" + c.source,
                      {.width = 420.0, .scale = 1.0, .spelling = 1, .staff = false, .id = "lw1"}));
    keep(".timeline.json", ask::timeline("A\n" + c.source, 70));
    if (!c.sound) return status;
    keep(".loop.f32", ask::loop("A\n" + c.source, 80, 0.0, 4.0, 44100.0));
    const Answer clip = ask::clip(c.source, {});
    keep(".f32", clip);
    // The clip's left side, clicks and room and all, listened to as a recording of an unknown harp and of a C harp.
    std::string left = number == "001" ? "\n" : "C\n";
    for (std::size_t i = 0; i + 4 <= clip.bytes.size(); i += 8) left.append(clip.bytes, i, 4);
    put(folder / (number + ".left"), left);
    keep(".heard.json", ask::heard(left, 48000.0));
    // The same sound as a try, handed over in pieces as a microphone does.
    std::vector<float> samples((left.size() - left.find('\n') - 1) / sizeof(float));
    std::memcpy(samples.data(), left.data() + left.find('\n') + 1, samples.size() * sizeof(float));
    ask::Ear ear{"\n" + c.source, 48000.0};
    std::string looks = "[";
    for (std::size_t at = 0; at < samples.size(); at += 4800) {
        ear.push(std::span{samples}.subspan(at, std::min<std::size_t>(4800, samples.size() - at)));
        looks += (at > 0 ? "," : "") + ear.look().bytes;
    }
    put(folder / (number + ".looks.json"), looks + "]");
    keep(".try.json", ear.finish());
    return status;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 5) {
        std::fprintf(stderr, "usage: engine_probe FOLDER LESSON BAD_FOLDER RANDOM\n");
        return 2;
    }
    const fs::path folder = argv[1];
    fs::remove_all(folder);
    fs::create_directories(folder);
    put(folder / "harps.json", harps().dump());

    const std::string lesson = bytes_of(argv[2]);
    const Answer read = lw::binding::lesson(lesson);
    put(folder / "lesson.md", lesson);
    put(folder / "lesson.json", read.bytes);
    put(folder / "lesson.tidy.md", lw::binding::tidy_lesson(lesson).bytes);
    put(folder / "lesson.sheet.json", lw::binding::sheet(lesson, true, "sheet1-").bytes);

    Json list = Json::array();
    for (const Case& c : cases_of(Json::parse(read.bytes), argv[3], std::atoi(argv[4]))) {
        char number[24];
        std::snprintf(number, sizeof number, "%03zu", list.size() + 1);
        const int status = answer(folder, number, c);
        list.push_back({{"number", number}, {"name", c.name}, {"status", status}, {"sound", c.sound}});
    }
    put(folder / "cases.json", list.dump(1));
}
