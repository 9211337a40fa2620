#include "throughcure/exchange/stream_lines.hpp"

#include <streambuf>

namespace throughcure::exchange {

bool StreamLines::next(StreamLine& line) {
  using Traits = std::istream::traits_type;
  line.text.clear();
  line.ended = false;
  line.too_long = false;
  std::streambuf& buffer = *in_.rdbuf();
  bool any = false;
  for (auto c = buffer.sbumpc(); !Traits::eq_int_type(c, Traits::eof()); c = buffer.sbumpc()) {
    any = true;
    ++bytes_;
    if (c == '\n') {
      line.ended = true;
      break;
    }
    if (line.text.size() < most_bytes_) {
      line.text += Traits::to_char_type(c);
    } else {
      line.too_long = true;
    }
  }
  return any;
}

}  // namespace throughcure::exchange
