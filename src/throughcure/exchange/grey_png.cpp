// PNG files by libpng.
#include <algorithm>
#include <array>
#include <csetjmp>
#include <cstring>

#include <png.h>

#include "throughcure/exchange/grey_picture.hpp"

namespace throughcure::exchange {

namespace {

/// All that the C library's callbacks see. libpng reports a fault by a long jump: the functions that it jumps out of
/// hold nothing that needs a destructor.
struct Decoder {
  const char* bytes = nullptr;
  std::size_t left = 0;
  png_structp png = nullptr;
  png_infop info = nullptr;
  std::array<char, 200> fault{};

  ~Decoder() { png_destroy_read_struct(&png, &info, nullptr); }
};

void fail(png_structp png, png_const_charp message) {
  auto* decoder = static_cast<Decoder*>(png_get_error_ptr(png));
  std::strncpy(decoder->fault.data(), message, decoder->fault.size() - 1);
  png_longjmp(png, 1);
}

void ignore_warning(png_structp /*png*/, png_const_charp /*message*/) {}

void take_bytes(png_structp png, png_bytep to, std::size_t count) {
  auto* decoder = static_cast<Decoder*>(png_get_io_ptr(png));
  if (count > decoder->left) png_error(png, "the file ends too early");
  std::memcpy(to, decoder->bytes, count);
  decoder->bytes += count;
  decoder->left -= count;
}

bool read_header(Decoder& decoder) {
  if (setjmp(png_jmpbuf(decoder.png)) != 0) return false;
  // The size is checked by ourselves, with a better sentence.
  png_set_user_limits(decoder.png, 0x7fffffff, 0x7fffffff);
  png_set_chunk_malloc_max(decoder.png, 8'000'000);
  png_read_info(decoder.png, decoder.info);
  return true;
}

bool read_rows(Decoder& decoder, png_bytepp rows) {
  if (setjmp(png_jmpbuf(decoder.png)) != 0) return false;
  png_read_image(decoder.png, rows);
  png_read_end(decoder.png, nullptr);
  return true;
}

PictureFault broken(const Decoder& decoder) {
  std::string message(decoder.fault.data());
  std::ranges::replace_if(message, [](char c) { return c < ' ' || c > '~'; }, '?');
  return {"the PNG file is broken or cut short (" + message + ")", "Copy or export it again"};
}

void check_channels(const Decoder& decoder) {
  const std::string remedy = "Export one channel (greyscale) of 8 or 16 bits, without gamma or colour map";
  const int colour = png_get_color_type(decoder.png, decoder.info);
  const int bits = png_get_bit_depth(decoder.png, decoder.info);
  if (colour == PNG_COLOR_TYPE_PALETTE) throw PictureFault{"the picture has a palette, not measured values", remedy};
  if (colour == PNG_COLOR_TYPE_GRAY_ALPHA || png_get_valid(decoder.png, decoder.info, PNG_INFO_tRNS) != 0) {
    throw PictureFault{"the picture has transparency", remedy};
  }
  if (colour != PNG_COLOR_TYPE_GRAY) {
    const int channels = png_get_channels(decoder.png, decoder.info);
    throw PictureFault{"the picture has " + std::to_string(channels) + " channels, not 1", remedy};
  }
  if (bits != 8 && bits != 16) {
    throw PictureFault{"the picture has " + std::to_string(bits) + " bits a pixel, not 8 or 16", remedy};
  }
}

}  // namespace

GreyPicture decode_png(std::string_view bytes) {
  Decoder decoder;
  decoder.bytes = bytes.data();
  decoder.left = bytes.size();
  decoder.png = png_create_read_struct(PNG_LIBPNG_VER_STRING, &decoder, fail, ignore_warning);
  if (decoder.png != nullptr) decoder.info = png_create_info_struct(decoder.png);
  if (decoder.info == nullptr) throw base::Failure("there is no memory left to read a picture");
  png_set_read_fn(decoder.png, &decoder, take_bytes);
  if (!read_header(decoder)) throw broken(decoder);

  GreyPicture picture;
  picture.width = png_get_image_width(decoder.png, decoder.info);
  picture.height = png_get_image_height(decoder.png, decoder.info);
  picture.bits = png_get_bit_depth(decoder.png, decoder.info);
  check_size(picture.width, picture.height);
  check_channels(decoder);

  const std::size_t row_bytes = png_get_rowbytes(decoder.png, decoder.info);
  std::vector<png_byte> raw(row_bytes * picture.height);
  std::vector<png_bytep> rows;
  rows.reserve(picture.height);
  for (std::size_t row = 0; row < picture.height; ++row) rows.push_back(&raw[row * row_bytes]);
  if (!read_rows(decoder, rows.data())) throw broken(decoder);

  picture.value.reserve(picture.width * picture.height);
  if (picture.bits == 8) {
    picture.value.assign(raw.begin(), raw.end());
  } else {
    // PNG keeps the larger byte first.
    for (std::size_t i = 0; i + 1 < raw.size(); i += 2) {
      picture.value.push_back(static_cast<std::uint16_t>((raw[i] << 8) | raw[i + 1]));
    }
  }
  return picture;
}

}  // namespace throughcure::exchange
