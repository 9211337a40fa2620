// The bytes of a text file, whatever encoding they are in, as UTF-8.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "throughcure/base/problem.hpp"

namespace throughcure::exchange {

struct ForeignText {
  std::string text;           ///< UTF-8 without a byte order mark
  std::string_view encoding;  ///< "UTF-8", "UTF-16" or "Windows-1252"
};

/// By its byte order mark where it has one; else UTF-8 where the bytes are that, else Windows-1252. Bytes that are no
/// such text, a file that is no text at all (a spreadsheet's own file) and bytes of value 0 are a problem with its
/// remedy; `file` stands for it there.
std::optional<ForeignText> foreign_text(std::string_view bytes, const std::string& file, base::Problems& problems);

}  // namespace throughcure::exchange
