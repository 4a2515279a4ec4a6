// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/hear/ask.hpp"

#include <cstdio>
#include <exception>
#include <stdexcept>

namespace lw::bench {

using namespace listening;

Condition condition_asked(const std::string& word) {
    if (const auto condition = condition_named(word)) return *condition;
    std::string all;
    for (const Condition c : every_condition) all += " " + std::string{name(c)};
    throw std::runtime_error("no condition is called " + word + "; there are" + all);
}

const Instrument& instrument_asked(const std::string& word) {
    if (const Instrument* instrument = instrument_named(word)) return *instrument;
    std::string all;
    for (const Instrument& i : instruments()) all += " " + std::string{i.name};
    throw std::runtime_error("no instrument is called " + word + "; there are" + all);
}

TakeMaker maker_of(const Instrument& instrument) {
    if (auto maker = TakeMaker::open(instrument)) return std::move(*maker);
    throw std::runtime_error(std::string{instrument.source} + " is not there; install " +
                             std::string{instrument.package} + " (tools/setup --tests)");
}

int answer(const std::string& program, const std::function<int()>& work) {
    try {
        return work();
    } catch (const std::exception& e) {
        std::fprintf(stderr, "%s: %s\n", program.c_str(), e.what());
        return 2;
    }
}

}  // namespace lw::bench
