#include "throughcure/draw/print_pages.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "throughcure/base/problem.hpp"
#include "throughcure/draw/type_setter.hpp"

namespace throughcure::draw {

namespace {

constexpr double kHeadLine_mm = 12;  // base line of the head, from the top
constexpr double kBodyTop_mm = 19;
constexpr double kFootBottom_mm = 9;  // from the last line of the foot to the paper's edge
constexpr double kAboveFoot_mm = 3;
constexpr double kLine = 1.35;        // from base line to base line, of the size
constexpr double kRise = 0.93;        // from the top of a line to its base line, of the size
constexpr double kCellPad_mm = 1.2;   // above and below the words of a cell together
constexpr double kBetween_mm = 2.8;   // from one column to the next
constexpr double kPenRow_mm = 8.5;    // a row to be filled in by hand
constexpr double kPenLine_mm = 11.5;  // a line to be signed on
constexpr double kBeforeHeading_mm = 3.2;
constexpr double kAfterBlock_mm = 2.2;
constexpr Colour kRule{29, 31, 36};
constexpr Colour kFineRule{150, 150, 150};

constexpr double size_mm(TypeSize size) {
  switch (size) {
    case TypeSize::kLarge:
      return 5.0;
    case TypeSize::kText:
      return 3.4;
    case TypeSize::kSmall:
      return 2.6;
  }
  return 0;
}

void shift(Line& line, double right, double down) {
  for (Place& place : line) place = {place.x_mm + right, place.y_mm + down};
}

void shift(Stroke& stroke, double right, double down) { shift(stroke.line, right, down); }
void shift(Polygon& polygon, double right, double down) {
  for (Line& ring : polygon.rings) shift(ring, right, down);
}
void shift(Raster& raster, double right, double down) {
  raster.top_left = {raster.top_left.x_mm + right, raster.top_left.y_mm + down};
  shift(raster.clip, right, down);
}
void shift(Shading& shading, double right, double down) {
  for (Line& ring : shading.clip) shift(ring, right, down);
  for (Polygon& area : shading.areas) shift(area, right, down);
}
void shift(Text& text, double right, double down) { text.at = {text.at.x_mm + right, text.at.y_mm + down}; }

/// Fills pages from top to bottom.
class Layout {
 public:
  explicit Layout(const Matter& matter) : matter_(matter), head_(matter.head) {
    for (const std::string& words : matter.foot) {
      for (std::string& line : type_.lines(words, kSmall, width())) foot_.push_back(std::move(line));
    }
    begin_page();
  }

  void put(const Words& words) {
    const double size = size_mm(words.size);
    for (const std::string& line : type_.lines(words.words, size, width())) put_line(line, size);
    y_ += kAfterBlock_mm;
  }

  void put(const Heading& heading) {
    constexpr double with_it_mm = 22;  // what follows must have a beginning on the same page
    if (y_ > kBodyTop_mm) y_ += kBeforeHeading_mm;
    need(kText * kLine + with_it_mm);
    for (const std::string& line : type_.lines(heading.words, kText, width(), 2)) put_line(line, kText);
    y_ += 0.8;
  }

  void put(const Table& table) {
    const std::vector<double> edges = edges_of(table);
    std::vector<std::string> heads;
    heads.reserve(table.columns.size());
    for (const TableColumn& column : table.columns) heads.push_back(column.head);
    const Row head = set(heads, edges);
    const auto put_head = [&] {
      put_row(head, table, edges, kFaintInk);
      rule(y_, kRule, 0.25);
    };
    if (table.rows.empty() && table.to_fill_in == 0) {
      put(Words{table.none, TypeSize::kSmall});
      return;
    }
    bool has_head = false;
    for (const std::vector<std::string>& cells : table.rows) {
      const Row row = set(cells, edges);
      if (!has_head || !fits(row.height_mm)) {
        need(head.height_mm + row.height_mm);
        put_head();
        has_head = true;
      }
      put_row(row, table, edges, kInk);
      rule(y_, kFineRule, 0.1);
    }
    if (table.rows.empty() && !table.none.empty()) put(Words{table.none, TypeSize::kSmall});
    for (std::size_t i = 0; i < table.to_fill_in; ++i) {
      if (!has_head || !fits(kPenRow_mm)) {
        need(head.height_mm + kPenRow_mm);
        put_head();
        has_head = true;
      }
      put_pen_row(edges);
    }
    y_ += kAfterBlock_mm;
  }

  void put(const Figure& figure) {
    need(figure.picture.height_mm);
    for (const Mark& mark : figure.picture.marks) page().marks.push_back(moved(mark, kPrintMargin_mm, y_));
    y_ += figure.picture.height_mm + kAfterBlock_mm;
  }

  void put(const ToSign& to_sign) {
    need(static_cast<double>(to_sign.asked.size()) * kPenLine_mm + 2);
    for (const std::string& asked : to_sign.asked) put_pen_line(asked);
    y_ += kAfterBlock_mm;
  }

  void put(const NewPage& turned) {
    head_ = turned.head;
    if (y_ > kBodyTop_mm) begin_page();
    heads_.back() = head_;
    if (!turned.chapter.empty()) out_.chapters.push_back({turned.chapter, out_.pages.size() - 1});
  }

  LaidOut finish() {
    for (std::size_t i = 0; i < out_.pages.size(); ++i) put_head_and_foot(i);
    return std::move(out_);
  }

 private:
  static constexpr double kText = size_mm(TypeSize::kText);
  static constexpr double kSmall = size_mm(TypeSize::kSmall);

  /// The lines of each cell, and how much room the highest takes.
  struct Row {
    std::vector<std::vector<std::string>> cells;
    double height_mm = 0;
  };

  [[nodiscard]] double width() const { return matter_.width_mm - 2 * kPrintMargin_mm; }
  Picture& page() { return out_.pages.back(); }
  /// Where the foot begins; the body ends above it.
  [[nodiscard]] double foot_top() const {
    return matter_.height_mm - kFootBottom_mm - static_cast<double>(foot_.size()) * kSmall * kLine;
  }
  [[nodiscard]] double bottom() const { return foot_top() - kAboveFoot_mm; }
  [[nodiscard]] bool fits(double height) const { return y_ + height <= bottom(); }
  void need(double height) {
    if (!fits(height) && y_ > kBodyTop_mm) begin_page();
  }

  void begin_page() {
    out_.pages.push_back({.width_mm = matter_.width_mm,
                          .height_mm = matter_.height_mm,
                          .paper = kWhite,
                          .marks = {},
                          .description = {}});
    heads_.push_back(head_);
    y_ = kBodyTop_mm;
  }

  void write(const std::string& words, Place at, double size, Colour colour = kInk, Align align = Align::kStart) {
    if (words.empty()) return;
    page().marks.emplace_back(Text{.at = at, .words = words, .size_mm = size, .colour = colour, .align = align});
  }
  void stroke(Place from, Place to, Colour colour, double wide) {
    page().marks.emplace_back(Stroke{.line = {from, to}, .width_mm = wide, .colour = colour});
  }
  void rule(double y, Colour colour, double wide) {
    stroke({kPrintMargin_mm, y}, {matter_.width_mm - kPrintMargin_mm, y}, colour, wide);
  }

  void put_line(const std::string& line, double size) {
    need(size * kLine);
    write(line, {kPrintMargin_mm, y_ + size * kRise}, size);
    y_ += size * kLine;
  }

  [[nodiscard]] std::vector<double> edges_of(const Table& table) const {
    double all = 0;
    for (const TableColumn& column : table.columns) all += column.share;
    std::vector<double> edges = {kPrintMargin_mm};
    for (const TableColumn& column : table.columns) {
      edges.push_back(edges.back() + column.share / all * (width() + kBetween_mm));
    }
    return edges;
  }

  [[nodiscard]] Row set(const std::vector<std::string>& cells, const std::vector<double>& edges) const {
    if (cells.size() + 1 != edges.size()) throw base::Failure("a row of a print has not as many cells as columns");
    // A row and the table's head (three lines at most) fit one page.
    const auto most =
        static_cast<std::size_t>(std::max(1.0, std::floor((bottom() - kBodyTop_mm) / (kSmall * kLine)) - 6));
    Row row;
    std::size_t highest = 1;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      row.cells.push_back(type_.lines(cells[i], kSmall, edges[i + 1] - edges[i] - kBetween_mm, most));
      highest = std::max(highest, row.cells.back().size());
    }
    row.height_mm = static_cast<double>(highest) * kSmall * kLine + kCellPad_mm;
    return row;
  }

  void put_row(const Row& row, const Table& table, const std::vector<double>& edges, Colour colour) {
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
      const Align align = table.columns[i].align;
      const double x = align == Align::kEnd      ? edges[i + 1] - kBetween_mm
                       : align == Align::kMiddle ? (edges[i] + edges[i + 1] - kBetween_mm) / 2
                                                 : edges[i];
      double y = y_ + kCellPad_mm / 2;
      for (const std::string& line : row.cells[i]) {
        write(line, {x, y + kSmall * kRise}, kSmall, colour, align);
        y += kSmall * kLine;
      }
    }
    y_ += row.height_mm;
  }

  void put_pen_row(const std::vector<double>& edges) {
    for (std::size_t i = 1; i + 1 < edges.size(); ++i) {
      const double x = edges[i] - kBetween_mm / 2;
      stroke({x, y_ + 1}, {x, y_ + kPenRow_mm}, kFineRule, 0.1);
    }
    y_ += kPenRow_mm;
    rule(y_, kFineRule, 0.1);
  }

  void put_pen_line(const std::string& asked) {
    constexpr double asked_share = 0.24;
    constexpr double gap_mm = 4;
    const double y = y_ + kPenLine_mm - 4;
    const auto lines = type_.lines(asked, kSmall, asked_share * width() - gap_mm, 3);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const double up = static_cast<double>(lines.size() - 1 - i) * kSmall * kLine;
      write(lines[i], {kPrintMargin_mm, y - up}, kSmall);
    }
    const auto blank = [&](double from_share, double to_share, const std::string& what) {
      const double from = kPrintMargin_mm + from_share * width();
      const double to = kPrintMargin_mm + to_share * width() - gap_mm;
      stroke({from, y}, {to, y}, kRule, 0.2);
      write(what, {from, y + kSmall * 1.15}, kSmall, kFaintInk);
    };
    blank(asked_share, 0.53, "name");
    blank(0.53, 0.82, "signature");
    blank(0.82, 1.0 + gap_mm / width(), "date");
    y_ += kPenLine_mm;
  }

  void put_head_and_foot(std::size_t index) {
    Picture& sheet = out_.pages[index];
    const auto write_on = [&](const std::string& words, Place at, Align align) {
      sheet.marks.emplace_back(Text{.at = at, .words = words, .size_mm = kSmall, .colour = kFaintInk, .align = align});
    };
    const double right = matter_.width_mm - kPrintMargin_mm;
    const std::string number = "page " + std::to_string(index + 1) + " of " + std::to_string(out_.pages.size());
    const double room = width() - type_.width_mm(number, kSmall) - 5;
    write_on(type_.lines(heads_[index], kSmall, room, 1).front(), {kPrintMargin_mm, kHeadLine_mm}, Align::kStart);
    write_on(number, {right, kHeadLine_mm}, Align::kEnd);
    sheet.marks.emplace_back(Stroke{.line = {{kPrintMargin_mm, kHeadLine_mm + 1.5}, {right, kHeadLine_mm + 1.5}},
                                    .width_mm = 0.1,
                                    .colour = kFineRule});
    double y = foot_top();
    for (const std::string& line : foot_) {
      y += kSmall * kLine;
      write_on(line, {kPrintMargin_mm, y}, Align::kStart);
    }
    sheet.description = heads_[index] + ", " + number;
  }

  const Matter& matter_;
  TypeSetter type_;
  std::string head_;
  std::vector<std::string> foot_;
  std::vector<std::string> heads_;  // of each page
  double y_ = 0;
  LaidOut out_;
};

}  // namespace

Mark moved(Mark mark, double right_mm, double down_mm) {
  std::visit([&](auto& what) { shift(what, right_mm, down_mm); }, mark);
  return mark;
}

LaidOut laid_out(const Matter& matter) {
  Layout layout(matter);
  for (const Block& block : matter.blocks) {
    std::visit([&](const auto& what) { layout.put(what); }, block);
  }
  return layout.finish();
}

}  // namespace throughcure::draw
