// SPDX-License-Identifier: GPL-3.0-or-later
// Frames as they are drawn, before any encoder.
#include "workshop/video/screen.hpp"

#include <cmath>
#include <cstring>

#include "tests/support/random_lick.hpp"
#include "tests/video/some_licks.hpp"
#include "workshop/video/stage.hpp"

namespace lw::video {
namespace {

using Shape = text::ScreenChoice::Shape;
using Kind = text::ScreenChoice::Kind;

constexpr std::array shapes = {Shape::landscape, Shape::portrait, Shape::lower_third};

TEST(Stage, SizesOfTheFrame) {
    const lick::Lick lick = read(short_lick);
    const auto size = [&](Shape shape, int lines) {
        const Stage s = set_stage(lick, {shape, Kind::webm, lines, 30});
        return std::pair{s.width, s.height};
    };
    EXPECT_EQ(size(Shape::landscape, 1080), (std::pair{1920, 1080}));
    EXPECT_EQ(size(Shape::landscape, 2160), (std::pair{3840, 2160}));
    EXPECT_EQ(size(Shape::portrait, 1080), (std::pair{1080, 1920}));
    EXPECT_EQ(size(Shape::portrait, 2160), (std::pair{2160, 3840}));
    EXPECT_EQ(size(Shape::lower_third, 1080), (std::pair{1920, 1080}));
}

// Safe title area of SMPTE ST 2046-1:2009: 90 % of width and height (remembered, not looked up).
TEST(Stage, EverythingKeepsToTheSafeArea) {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const lick::Lick lick = support::random_lick(seed);
        for (const Shape shape : shapes) {
            const Stage s = set_stage(lick, {shape, Kind::webm, 1080, 30});
            EXPECT_GE(s.panel.x, 0.05 * s.width - 0.01);
            EXPECT_LE(s.panel.right(), 0.95 * s.width + 0.01);
            EXPECT_GE(s.panel.y, 0.05 * s.height - 0.01) << seed;
            EXPECT_LE(s.panel.bottom(), 0.95 * s.height + 0.01) << seed;
            if (shape == Shape::lower_third) {
                EXPECT_GE(s.panel.y, 0.55 * s.height) << seed;
            }
            for (std::size_t system = 0; system < s.picture.systems.size(); ++system)
                for (std::size_t slot = 0; slot < s.slots.size(); ++slot) {
                    const draw::Box ink = s.place(system, slot).of(s.picture.systems[system].box);
                    EXPECT_GE(ink.x, s.panel.x) << seed;
                    EXPECT_LE(ink.right(), s.panel.right()) << seed;
                    EXPECT_GE(ink.y, s.head.bottom() - 1.0) << seed;
                    EXPECT_LE(ink.bottom(), s.panel.bottom()) << seed;
                }
        }
    }
}

TEST(OnScreen, FourKIsTwiceTheSame) {
    const lick::Lick lick = read(short_lick);
    const auto p = sound::perform(lick);
    const OnScreen hd{lick, p, wishes(Shape::landscape, Kind::webm, 1080)};
    const OnScreen uhd{lick, p, wishes(Shape::landscape, Kind::webm, 2160)};
    ASSERT_EQ(hd.frames(), uhd.frames());
    for (int n = 0; n < hd.frames(); n += 7) {
        const auto a = hd.sight(n);
        const auto b = uhd.sight(n);
        EXPECT_EQ(a.note, b.note);
        EXPECT_EQ(a.count, b.count);
        ASSERT_EQ(a.lit.size(), b.lit.size());
        for (std::size_t i = 0; i < a.lit.size(); ++i) EXPECT_NEAR(2.0 * a.lit[i].x, b.lit[i].x, 0.01);
    }
}

// The dumb twin: every frame drawn from nothing equals the one where only what changed was painted.
TEST(OnScreen, PaintingWhatChangesGivesTheSameFrames) {
    for (const std::string_view source : {short_lick, long_lick}) {
        const lick::Lick lick = read(source);
        sound::Choices choices;
        choices.repeats = source == short_lick ? 2 : 1;
        const auto p = sound::perform(lick, choices);
        for (const Shape shape : shapes) {
            for (const Kind kind : {Kind::webm, Kind::mp4}) {
                const Wishes w = wishes(shape, kind, 240, 25);
                OnScreen flowing{lick, p, w};
                for (int n = 0; n < flowing.frames(); ++n) {
                    const auto now = flowing.frame(n);
                    if (n % 23 != 22) continue;
                    OnScreen fresh{lick, p, w};
                    const auto whole = fresh.frame(n);
                    ASSERT_EQ(now.size(), whole.size());
                    std::size_t differ = 0, first = 0;
                    int most = 0;
                    for (std::size_t i = 0; i < now.size(); ++i)
                        if (now[i] != whole[i]) {
                            if (differ++ == 0) first = i;
                            most = std::max(most, std::abs(now[i] - whole[i]));
                        }
                    // Cairo rounds the edge of a shape cut by a clip differently by a few steps here and there; a place
                    // that was forgotten differs by a hundred.
                    ASSERT_LE(most, 8) << differ << " bytes";
                    ASSERT_LE(differ, now.size() / 1000)
                        << "by at most " << most << ", first at "
                        << first / 4 % static_cast<std::size_t>(fresh.width()) << ","
                        << first / 4 / static_cast<std::size_t>(fresh.width()) << "; frame " << n << " shape "
                        << static_cast<int>(shape) << " kind " << static_cast<int>(kind);
                }
            }
        }
    }
}

TEST(OnScreen, OnlyWhatChangesIsPainted) {
    const lick::Lick lick = read(short_lick);
    OnScreen screen{lick, sound::perform(lick), wishes(Shape::landscape, Kind::webm, 720)};
    std::size_t painted = 0;
    for (int n = 0; n < screen.frames(); ++n) {
        (void)screen.frame(n);
        if (n > 0) painted += screen.painted();
    }
    const double share = static_cast<double>(painted) / (1280.0 * 720.0 * (screen.frames() - 1));
    EXPECT_LT(share, 0.06);
    EXPECT_GT(share, 0.0);
}

// What the model says sounds is what is lit, at every frame, in every shape, whatever the lick.
TEST(OnScreen, TheSoundingNoteIsLitAndTheMarkStandsByIt) {
    int looked = 0;
    for (std::uint64_t seed = 0; seed < 8; ++seed) {
        const lick::Lick lick = support::random_lick(seed);
        const auto p = sound::perform(lick);
        for (const Shape shape : shapes) {
            const OnScreen screen{lick, p, wishes(shape, Kind::webm, 240, 30)};
            EXPECT_EQ(screen.frames(), static_cast<int>(std::ceil(p.length.value * 30.0 - 1e-6)));
            double before = -1.0;
            std::optional<std::size_t> note;
            for (int n = 0; n < screen.frames(); ++n) {
                const double at = (n + 0.5) / 30.0;
                const auto sight = screen.sight(n);
                std::optional<std::size_t> expected;
                for (std::size_t i = 0; i < p.notes.size(); ++i)
                    if (p.notes[i].onset.value <= at && at < p.notes[i].offset.value) expected = i;
                ASSERT_EQ(sight.note, expected) << seed << " frame " << n;
                if (!expected) {
                    EXPECT_TRUE(sight.lit.empty());
                    continue;
                }
                // In the first frame of a note its number is there and the mark is on it.
                if (sight.note != note && at - p.notes[*expected].onset.value < 1.0 / 30.0) {
                    ASSERT_FALSE(sight.lit.empty()) << seed << " frame " << n;
                    ++looked;
                }
                ASSERT_TRUE(sight.mark.has_value());
                if (sight.note == note && !sight.lit.empty()) {
                    EXPECT_GE(sight.mark->x, before - 0.13);
                }
                before = sight.mark->x;
                note = sight.note;
                if (note && screen.sight(n + 1).mark->y != sight.mark->y) before = -1.0;
            }
        }
    }
    EXPECT_GT(looked, 300);
}

TEST(OnScreen, TheCountInIsCounted) {
    const lick::Lick lick = read("title: x\nharp: C\ntempo: 60\n\ntab | . 2d 3d 4d |\n");
    const OnScreen screen{lick, sound::perform(lick), wishes(Shape::landscape, Kind::webm, 240, 30)};
    // 1 2 3 4, 1; then the phrase begins on beat two: nothing is counted any more.
    for (const auto& [second, number] : std::vector<std::pair<double, int>>{
             {0.5, 1}, {1.5, 2}, {2.5, 3}, {3.5, 4}, {4.5, 1}, {5.5, 0}, {7.5, 0}})
        EXPECT_EQ(screen.sight(static_cast<int>(second * 30)).count, number) << second;
}

/// Share of accent among the pixels of a ring just outside a box; the accent of the overlay theme.
double accent_around(const std::vector<std::uint8_t>& rgba, int width, const draw::Box& b,
                     draw::Colour accent, double from, double to) {
    int hits = 0;
    for (int y = static_cast<int>(b.y - to); y < b.bottom() + to; ++y)
        for (int x = static_cast<int>(b.x - to); x < b.right() + to; ++x) {
            const bool inside =
                x > b.x - from && x < b.right() + from && y > b.y - from && y < b.bottom() + from;
            if (inside || x < 0 || y < 0) continue;
            const std::size_t i = (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                                   static_cast<std::size_t>(x)) *
                                  4;
            if (i + 3 >= rgba.size()) continue;
            if (std::abs(rgba[i] - accent.red) < 24 && std::abs(rgba[i + 1] - accent.green) < 24 &&
                std::abs(rgba[i + 2] - accent.blue) < 24)
                ++hits;
        }
    return hits;
}

// Colour is never the only carrier (WCAG 2.2, 1.4.1): a lit note also wears a ring, outside its own shape.
TEST(OnScreen, ALitNoteWearsARing) {
    const lick::Lick lick = read(short_lick);
    const auto p = sound::perform(lick);
    OnScreen screen{lick, p, wishes(Shape::landscape, Kind::webm, 720)};
    const draw::Colour accent = draw::theme(draw::Look::overlay)[draw::Ink::accent];
    int looked = 0;
    for (std::size_t i = 0; i < p.notes.size(); ++i) {
        const int n = static_cast<int>((p.notes[i].onset.value + p.notes[i].offset.value) / 2.0 * 30.0);
        const auto lit = screen.sight(n).lit;
        ASSERT_FALSE(lit.empty());
        const double there = accent_around(rgba_frame(screen, n), screen.width(), lit[0], accent, 2.0, 10.0);
        // The same place when another note sounds.
        const int other = static_cast<int>(p.notes[(i + 3) % p.notes.size()].onset.value * 30.0) + 3;
        const double gone =
            accent_around(rgba_frame(screen, other), screen.width(), lit[0], accent, 2.0, 10.0);
        EXPECT_GT(there, 60.0) << i;
        EXPECT_LT(gone, there * 0.7) << i;
        ++looked;
    }
    EXPECT_GE(looked, 6);
}

}  // namespace
}  // namespace lw::video
