// What a print says, block by block, before it is laid out on pages.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <variant>
#include <vector>

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

enum class TypeSize : std::uint8_t { kLarge, kText, kSmall };

/// A paragraph.
struct Words {
  std::string words;
  TypeSize size = TypeSize::kText;
};

/// What the next blocks are about; stays with the first of them.
struct Heading {
  std::string words;
};

struct TableColumn {
  std::string head;
  double share = 1;  ///< of the width, against those of the other columns
  Align align = Align::kStart;
};

/// Rows are never parted between pages; the head stands again on each.
struct Table {
  std::vector<TableColumn> columns;
  std::vector<std::vector<std::string>> rows;  ///< as many cells as there are columns
  std::string none;                            ///< said where there is no row
  std::size_t to_fill_in = 0;                  ///< empty rows below, for a pen
};

/// A picture, as wide as the text at most.
struct Figure {
  Picture picture;
};

/// Lines for a pen, one below the other: what is signed for, then name, signature and date.
struct ToSign {
  std::vector<std::string> asked;
};

/// Goes on on a new page, from there on under this head; named in the outline.
struct NewPage {
  std::string head;
  std::string chapter;
};

using Block = std::variant<Words, Heading, Table, Figure, ToSign, NewPage>;

struct Matter {
  double width_mm = 210;
  double height_mm = 297;
  std::string head;               ///< at the top of every page, beside its number
  std::vector<std::string> foot;  ///< at the foot of every page
  std::vector<Block> blocks;
};

}  // namespace throughcure::draw
