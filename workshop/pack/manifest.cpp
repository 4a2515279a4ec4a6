// SPDX-License-Identifier: GPL-3.0-or-later
#include "workshop/pack/manifest.hpp"

#include <filesystem>
#include <nlohmann/json.hpp>

namespace lw::pack {
namespace {

using Json = nlohmann::ordered_json;

bool stays_inside(const std::string& path) {
    const std::filesystem::path p{path};
    if (path.empty() || p.is_absolute()) return false;
    for (const auto& part : p)
        if (part == "..") return false;
    return true;
}

}  // namespace

std::string write_manifest(const Manifest& manifest) {
    Json files = Json::array();
    for (const Entry& e : manifest.files)
        files.push_back({{"path", e.path},
                         {"what", e.what},
                         {"bytes", e.bytes},
                         {"sha256", e.sha256},
                         {"recipe", e.recipe}});
    const Json all{{"made_by", "lickwright"}, {"format", 1}, {"lesson", manifest.lesson}, {"files", files}};
    return all.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string write_sums(const Manifest& manifest) {
    std::string text;
    for (const Entry& e : manifest.files) text += e.sha256 + "  " + e.path + "\n";
    return text;
}

std::optional<Manifest> read_manifest(std::string_view bytes) {
    const Json all = Json::parse(bytes, nullptr, false);
    if (!all.is_object() || all.value("made_by", Json{}) != "lickwright" || all.value("format", Json{}) != 1)
        return std::nullopt;
    const auto files = all.find("files");
    if (files == all.end() || !files->is_array()) return std::nullopt;
    Manifest manifest;
    if (const auto lesson = all.find("lesson"); lesson != all.end() && lesson->is_string())
        manifest.lesson = *lesson;
    for (const Json& f : *files) {
        if (!f.is_object()) return std::nullopt;
        Entry e;
        for (const auto& [key, to] :
             {std::pair{"path", &e.path}, {"what", &e.what}, {"sha256", &e.sha256}, {"recipe", &e.recipe}}) {
            const auto at = f.find(key);
            if (at == f.end() || !at->is_string()) return std::nullopt;
            *to = at->get<std::string>();
        }
        const auto size = f.find("bytes");
        if (size == f.end() || !size->is_number_unsigned()) return std::nullopt;
        e.bytes = *size;
        if (!stays_inside(e.path)) return std::nullopt;
        manifest.files.push_back(std::move(e));
    }
    return manifest;
}

}  // namespace lw::pack
