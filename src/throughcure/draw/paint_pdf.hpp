// Pages as the bytes of a PDF file: a print.
#pragma once

#include <string>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

/// Something that a reader may want to go to: named in the outline of the file.
struct Chapter {
  std::string name;
  std::size_t page = 0;  ///< counted from 0
};

struct Print {
  std::string title;
  base::Instant made_at;  ///< as the file says: the same pages at the same instant are the same bytes
  std::vector<Picture> pages;
  std::vector<Chapter> chapters{};
};

/// Words stay words, set in a type that the file carries. Each page is as large as its picture. Throws base::Failure
/// with cairo's reason.
std::string paint_pdf(const Print& print);

}  // namespace throughcure::draw
