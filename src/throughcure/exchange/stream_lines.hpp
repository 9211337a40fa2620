// The lines of a long text, one by one, none longer than allowed in memory.
#pragma once

#include <cstddef>
#include <cstdint>
#include <istream>
#include <string>

namespace throughcure::exchange {

struct StreamLine {
  std::string text;       ///< without its end
  bool ended = false;     ///< a line's end ("\n") stood after it: else the text stopped
  bool too_long = false;  ///< more than was allowed stood there; `text` has the first of it
};

class StreamLines {
 public:
  /// `in` must outlive this.
  StreamLines(std::istream& in, std::size_t most_bytes) : in_(in), most_bytes_(most_bytes) {}

  /// The next line; false, when there is none left.
  bool next(StreamLine& line);

  /// How many bytes were read.
  [[nodiscard]] std::uint64_t bytes() const { return bytes_; }

 private:
  std::istream& in_;
  std::size_t most_bytes_;
  std::uint64_t bytes_ = 0;
};

}  // namespace throughcure::exchange
