#include "throughcure/draw/label_sheet.hpp"

#include <algorithm>
#include <array>

#include "throughcure/base/problem.hpp"
#include "throughcure/draw/type_setter.hpp"

namespace throughcure::draw {

namespace {

constexpr double kSheetWidth_mm = 210;
constexpr double kSheetHeight_mm = 297;
constexpr double kLeft_mm = (kSheetWidth_mm - kLabelsAcross * kLabelWidth_mm) / 2;
constexpr double kTop_mm = 12;         // more is left at the foot, for the note
constexpr double kSquare_mm = 30;      // with its quiet zone
constexpr std::size_t kQuiet = 4;      // modules on each side: ISO/IEC 18004
constexpr std::size_t kMostSide = 60;  // modules: half a millimetre each
constexpr double kMark_mm = 2;         // of a cross to cut along, each arm
constexpr double kEdgeMark_mm = 5;     // at the sheet's edges
constexpr double kWordsFrom_mm = 31;   // beside the square
constexpr double kWordsWide_mm = kLabelWidth_mm - kWordsFrom_mm - 2;
constexpr double kLine = 1.25;  // between base lines, of the size
constexpr double kSmall_mm = 2.5;
constexpr double kTiny_mm = 1.9;
constexpr Colour kBlack{0, 0, 0};
constexpr Colour kCut{120, 120, 120};

void put_square(Picture& sheet, const Label& label, Place corner) {
  if (label.side == 0 || label.side > kMostSide) {
    throw base::Failure("the address " + label.address.substr(0, 60) +
                        " is too long for a label. Give the machine a shorter name.");
  }
  const double module = kSquare_mm / static_cast<double>(label.side + 2 * kQuiet);
  const Place first{corner.x_mm + kQuiet * module, corner.y_mm + kQuiet * module};
  for (std::size_t row = 0; row < label.side; ++row) {
    const double top = first.y_mm + static_cast<double>(row) * module;
    for (std::size_t from = 0; from < label.side;) {
      if (!label.dark[row * label.side + from]) {
        ++from;
        continue;
      }
      std::size_t to = from;
      while (to < label.side && label.dark[row * label.side + to]) ++to;
      // A little over the edge: no pale seam between two rows.
      const double seam = to > from && row + 1 < label.side ? 0.02 : 0;
      const double left = first.x_mm + static_cast<double>(from) * module;
      const double right = first.x_mm + static_cast<double>(to) * module;
      sheet.marks.emplace_back(
          Polygon{{{{left, top}, {right, top}, {right, top + module + seam}, {left, top + module + seam}}}, kBlack});
      from = to;
    }
  }
}

/// Set in the largest of these sizes in which it takes no more lines than it may; gives where the next base line is.
double put_words(Picture& sheet, const TypeSetter& type, const std::string& words, Place from,
                 std::initializer_list<double> sizes, double wide_mm, std::size_t most_lines) {
  double size = *(sizes.end() - 1);
  for (const double tried : sizes) {
    if (type.lines(words, tried, wide_mm).size() > most_lines) continue;
    size = tried;
    break;
  }
  double y = from.y_mm;
  for (const std::string& line : type.lines(words, size, wide_mm, most_lines)) {
    y += size * kLine;
    sheet.marks.emplace_back(Text{.at = {from.x_mm, y}, .words = line, .size_mm = size, .colour = kBlack});
  }
  return y;
}

void put_label(Picture& sheet, const TypeSetter& type, const Label& label, Place corner) {
  put_square(sheet, label, corner);
  const double x = corner.x_mm + kWordsFrom_mm;
  double y = put_words(sheet, type, label.name, {x, corner.y_mm + 1.5}, {4.4, 3.4, 2.8}, kWordsWide_mm, 3);
  y = put_words(sheet, type, "serial " + label.serial, {x, y + 1}, {kSmall_mm, kTiny_mm}, kWordsWide_mm, 2);
  put_words(sheet, type, label.place, {x, y + 0.6}, {kSmall_mm, kTiny_mm}, kWordsWide_mm, 2);
  put_words(sheet, type, "Scan it to check this light.", {x, corner.y_mm + 26.2}, {kTiny_mm}, kWordsWide_mm, 1);
  put_words(sheet, type, label.address, {corner.x_mm + 3, corner.y_mm + kSquare_mm - 0.6}, {kTiny_mm, 1.5},
            kLabelWidth_mm - 5, 1);
}

void put_cut_marks(Picture& sheet) {
  const auto line = [&](Place a, Place b) {
    sheet.marks.emplace_back(Stroke{.line = {a, b}, .width_mm = 0.1, .colour = kCut});
  };
  for (std::size_t row = 0; row <= kLabelsDown; ++row) {
    for (std::size_t column = 0; column <= kLabelsAcross; ++column) {
      const double x = kLeft_mm + static_cast<double>(column) * kLabelWidth_mm;
      const double y = kTop_mm + static_cast<double>(row) * kLabelHeight_mm;
      // Longer at the sheet's edges, where a ruler is laid.
      line({x - (column == 0 ? kEdgeMark_mm : kMark_mm), y},
           {x + (column == kLabelsAcross ? kEdgeMark_mm : kMark_mm), y});
      line({x, y - (row == 0 ? kEdgeMark_mm : kMark_mm)}, {x, y + (row == kLabelsDown ? kEdgeMark_mm : kMark_mm)});
    }
  }
}

void put_note(Picture& sheet, const TypeSetter& type, const std::string& note) {
  if (note.empty()) return;
  double y = kTop_mm + kLabelsDown * kLabelHeight_mm + kEdgeMark_mm + 1;
  for (const std::string& line : type.lines(note, kSmall_mm, kLabelsAcross * kLabelWidth_mm - 4, 3)) {
    y += kSmall_mm * kLine;
    sheet.marks.emplace_back(Text{.at = {kLeft_mm + 2, y}, .words = line, .size_mm = kSmall_mm, .colour = kBlack});
  }
}

}  // namespace

std::vector<Picture> label_sheets(const std::vector<Label>& labels, const std::string& note) {
  constexpr std::size_t on_a_sheet = kLabelsAcross * kLabelsDown;
  const TypeSetter type;
  std::vector<Picture> sheets;
  for (std::size_t from = 0; from == 0 || from < labels.size(); from += on_a_sheet) {
    Picture sheet{.width_mm = kSheetWidth_mm,
                  .height_mm = kSheetHeight_mm,
                  .paper = kWhite,
                  .marks = {},
                  .description = "Labels of lights"};
    put_cut_marks(sheet);
    for (std::size_t i = from; i < std::min(labels.size(), from + on_a_sheet); ++i) {
      const std::size_t column = (i - from) % kLabelsAcross;
      const std::size_t row = (i - from) / kLabelsAcross;
      put_label(sheet, type, labels[i],
                {kLeft_mm + static_cast<double>(column) * kLabelWidth_mm,
                 kTop_mm + static_cast<double>(row) * kLabelHeight_mm});
    }
    put_note(sheet, type, note);
    sheets.push_back(std::move(sheet));
  }
  return sheets;
}

}  // namespace throughcure::draw
