// SPDX-License-Identifier: Apache-2.0
#include "engine/draw/sheet.hpp"

#include <algorithm>

#include "engine/draw/compose.hpp"
#include "engine/draw/font.hpp"
#include "engine/draw/opening.hpp"
#include "engine/draw/text_block.hpp"

namespace lw::draw {
namespace {

// Paper in points: ISO 216 A4, 210 x 297 mm; Letter, 8.5 x 11 in.
struct Page {
    double width, height;
};
constexpr Page a4{595.28, 841.89};
constexpr Page letter{612.0, 792.0};
constexpr double side = 42.0;      // white at the sides: 15 mm, what printers leave and a ring binder needs
constexpr double headroom = 40.0;  // above; not `head`, which names the words there
constexpr double foot = 46.0;      // below; the footer stands in it
constexpr double large = 1.45;     // large print sets numbers in 17 pt

// Common practice, no source: hard breathing makes light-headed, and practice is done in headphones.
constexpr std::string_view caution =
    "Light in the head? Stop, breathe normally and rest. Start quietly when you wear headphones.";

/// One lick, ready to be put on pages.
struct Block {
    const lick::Lick* lick = nullptr;
    std::size_t index = 0;
    std::vector<Command> heading;  // from y = 0
    double heading_height = 0.0;
    std::vector<SetLine> lines;
    std::vector<Command> after;  // credit and link
    double after_height = 0.0;
};

class Pages {
  public:
    Pages(std::span<const lick::Lick* const> licks, const SheetHead& words, const text::SheetChoices& choices)
        : licks_(licks),
          head_(words),
          choices_(choices),
          paper_(choices.paper == text::Paper::a4 ? a4 : letter),
          scale_(choices.large_print ? large : 1.0),
          sizes_{scale_},
          room_(paper_.width - 2.0 * side) {}

    std::vector<Picture> make() {
        begin_page();
        title_block();
        for (std::size_t i = 0; i < licks_.size(); ++i) put(block_of(*licks_[i], i));
        for (std::size_t i = 0; i < pages_.size(); ++i) footer(i);
        return std::move(pages_);
    }

  private:
    [[nodiscard]] double print(double at_one) const {
        // Words grow less than numbers: a heading of 20 pt at arm's length needs no more.
        return std::max(smallest_print, at_one * (choices_.large_print ? 1.25 : 1.0));
    }
    [[nodiscard]] double end_of_page() const { return paper_.height - foot; }
    [[nodiscard]] Picture& page() { return pages_.back(); }

    void begin_page() {
        pages_.emplace_back();
        page().width = paper_.width;
        page().height = paper_.height;
        y_ = headroom;
        top_of_page_ = headroom;
        if (pages_.size() == 1) return;
        // A running head, so that a lost page finds its way back.
        const std::string& title = leading_title();
        const double size = print(8.0);
        const double house = head_.house.empty() ? 0.0 : width(Face::regular, head_.house, size) + 12.0;
        if (house > 0.0 && house < room_ * 0.6)
            page().commands.push_back(words(Part::head, head_.house, {paper_.width - side, 30.0}, size,
                                            Face::regular, Anchor::end, Ink::soft));
        const double left = house < room_ * 0.6 ? room_ - house : room_;
        const std::string_view cut = fitting(Face::regular, title, size, left);
        if (!cut.empty())
            page().commands.push_back(
                words(Part::head, cut, {side, 30.0}, size, Face::regular, Anchor::start, Ink::soft));
        y_ = top_of_page_ = headroom + 8.0;
    }

    [[nodiscard]] const std::string& leading_title() const {
        static const std::string none;
        if (!head_.title.empty()) return head_.title;
        return licks_.empty() ? none : licks_.front()->head.title;
    }
    /// A sheet of one lick is led by the lick's own title.
    [[nodiscard]] bool one_title() const { return head_.title.empty(); }

    void title_block() {
        double left = room_;
        double logo_bottom = y_;
        if (head_.logo_shape && *head_.logo_shape > 0.0) {
            const double high = std::min(40.0, 130.0 / *head_.logo_shape);
            const double wide = high * *head_.logo_shape;
            Command c;
            c.kind = Command::Kind::image;
            c.part = Part::logo;
            c.box = {paper_.width - side - wide, y_, wide, high};
            page().commands.push_back(c);
            left -= wide + 16.0;
            logo_bottom = y_ + high;
        }
        TextStyle title{Part::title, print(23.0), Face::bold, Ink::ink, false, 1.16};
        while (title.size > print(15.0) && lines_of(leading_title(), left, title) > 2) title.size -= 1.0;
        y_ += set_text(page().commands, leading_title(), side, y_ - 4.0, left, title);
        std::string by = head_.house;
        for (const std::string* more : {&head_.site, &head_.date}) {
            if (more->empty()) continue;
            if (!by.empty()) by += "  ·  ";
            by += *more;
        }
        if (!by.empty()) {
            const TextStyle small{Part::head, print(9.5), Face::regular, Ink::soft, false, 1.32};
            y_ += set_text(page().commands, by, side, y_, left, small);
        }
        y_ = std::max(y_, logo_bottom) + 8.0;
        page().commands.push_back(stroked(Part::head,
                                          std::move(Path{}.move(side, y_).line(paper_.width - side, y_)),
                                          Ink::rule, 0.8, false));
        y_ += 14.0;
        top_of_page_ = y_;
    }

    [[nodiscard]] static std::string about(const lick::Head& h) {
        std::string text = harp::name(h.harp) + " harp";
        if (h.harp.tuning != harp::standard_tuning()) text += ", " + h.harp.tuning.name;
        if (h.position) {
            text += "  ·  " + harp::ordinal(*h.position) + " position, so the music is in " +
                    std::string{harp::name(*key_of_music(h))};
        }
        if (h.harp.temperament != harp::equal_temperament()) text += "  ·  " + h.harp.temperament.name;
        if (h.harp.a4 != harp::concert_a4) text += "  ·  A4 = " + plain_number(h.harp.a4.value) + " Hz";
        return text;
    }

    Block block_of(const lick::Lick& lick, std::size_t index) {
        Block b;
        b.lick = &lick;
        b.index = index;
        double y = 0.0;
        if (!one_title() || licks_.size() > 1) {
            std::string title = lick.head.title;
            if (licks_.size() > 1) title = std::to_string(index + 1) + "   " + title;
            TextStyle style{Part::title, print(14.0), Face::bold, Ink::ink, false, 1.22};
            if (lines_of(title, room_, style) > 2) style.size = print(11.5);
            y += set_text(b.heading, title, side, y, room_, style);
        }
        const TextStyle small{Part::head, print(9.5), Face::regular, Ink::soft, true, 1.32};
        y += set_text(b.heading, about(lick.head), side, y, room_, small) + 7.0;
        b.heading_height = y;

        LineChoices line;
        line.width = room_;
        line.scale = scale_;
        line.spelling = choices_.spelling;
        line.staff = choices_.staff;
        b.lines = set_lines(lick, line);

        const TextStyle fine{Part::credit, print(8.0), Face::regular, Ink::soft, false, 1.35};
        double down = 0.0;
        std::string last = lick.head.credit;
        for (const std::string& link : lick.head.more) {
            const std::string longer = last.empty() ? link : last + "  ·  " + link;
            if (!last.empty() && lines_of(longer, room_, fine) > 1) {
                down += set_text(b.after, last, side, down, room_, fine);
                last = link;
            } else {
                last = longer;
            }
        }
        down += set_text(b.after, last, side, down, room_, fine);
        b.after_height = down > 0.0 ? down + 5.0 : 0.0;
        return b;
    }

    [[nodiscard]] double height(const Block& b) const {
        double sum = b.heading_height + b.after_height;
        for (const SetLine& line : b.lines) sum += line.height + line_gap(sizes_);
        return sum - line_gap(sizes_);
    }

    void place(const std::vector<Command>& commands, double y) {
        for (const Command& c : commands) {
            page().commands.push_back(c);
            shift(page().commands.back(), 0.0, y);
        }
    }

    void put(Block b) {
        if (b.lines.empty()) return;
        const bool fresh = y_ <= top_of_page_ + 0.5;
        if (!fresh) y_ += sizes_.of(24.0);
        const double left = end_of_page() - y_;
        const double whole = height(b);
        const double first = b.heading_height + b.lines.front().height;
        const bool fits_a_page = whole <= end_of_page() - headroom - 8.0;
        if (!fresh && (first > left || (whole > left && fits_a_page))) begin_page();
        std::string& spoken = page().spoken;
        if (!spoken.empty()) spoken += "\n";
        spoken += spoken_lick(*b.lick);
        place(b.heading, y_);
        y_ += b.heading_height;
        for (std::size_t i = 0; i < b.lines.size(); ++i) {
            const double high = b.lines[i].height;
            const double tail = i + 1 == b.lines.size() ? b.after_height : 0.0;
            if (i > 0) {
                y_ += line_gap(sizes_);
                if (y_ + high + tail > end_of_page()) begin_page();
            }
            put_line(page(), std::move(b.lines[i]), side, y_, b.index);
            y_ += high;
        }
        place(b.after, y_ + 5.0);
        y_ += b.after_height;
    }

    void footer(std::size_t index) {
        Picture& p = pages_[index];
        const double y = paper_.height - 26.0;
        const double size = print(7.4);
        const std::string number = std::to_string(index + 1) + " / " + std::to_string(pages_.size());
        p.commands.push_back(words(Part::page_number, number, {paper_.width - side, y}, size, Face::regular,
                                   Anchor::end, Ink::soft));
        p.commands.push_back(
            words(Part::prose, caution, {side, y}, size, Face::regular, Anchor::start, Ink::soft));
        std::string lead = leading_title();
        if (!lead.empty()) lead += ". ";
        p.spoken = lead + "Page " + std::to_string(index + 1) + " of " + std::to_string(pages_.size()) +
                   ".\n" + p.spoken;
    }

    std::span<const lick::Lick* const> licks_;
    const SheetHead& head_;
    const text::SheetChoices& choices_;
    Page paper_;
    double scale_;
    Sizes sizes_;
    double room_;
    double y_ = 0.0;
    double top_of_page_ = 0.0;
    std::vector<Picture> pages_;
};

}  // namespace

std::vector<Picture> sheet(std::span<const lick::Lick* const> licks, const SheetHead& head,
                           const text::SheetChoices& choices) {
    return Pages{licks, head, choices}.make();
}

std::vector<Picture> sheet(const text::Lesson& lesson, const text::House& house,
                           std::optional<double> logo_shape) {
    std::vector<const lick::Lick*> licks;
    for (const text::LessonLick& l : lesson.licks) licks.push_back(&l.lick);
    const SheetHead head{lesson.title, house.name, house.site, lesson.date, logo_shape};
    return sheet(licks, head, lesson.sheet);
}

Picture cropped(Picture page) {
    const auto at_the_foot = [](const Command& c) {
        return c.part == Part::page_number || c.part == Part::prose;
    };
    std::erase_if(page.commands, at_the_foot);
    double left = page.width;
    double bottom = 0.0;
    for (const Command& c : page.commands) {
        if (c.box.width <= 0.0 && c.box.height <= 0.0) continue;
        left = std::min(left, c.box.x);
        bottom = std::max(bottom, c.box.bottom());
    }
    // The same white below as at the side.
    page.height = std::min(page.height, bottom + std::max(left, 0.0));
    return page;
}

}  // namespace lw::draw
