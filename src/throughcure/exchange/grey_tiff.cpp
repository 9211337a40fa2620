// TIFF files by libtiff.
#include <algorithm>
#include <cstdarg>
#include <cstdio>
#include <cstring>
#include <memory>

#include <tiffio.h>

#include "throughcure/exchange/grey_picture.hpp"

namespace throughcure::exchange {

namespace {

/// A file in memory, as libtiff wants to see it. Every callback gets it; nothing is global.
struct Memory {
  std::string_view bytes;
  std::size_t place = 0;
  std::string fault;
};

Memory& memory(thandle_t handle) { return *static_cast<Memory*>(handle); }

tmsize_t read_some(thandle_t handle, void* to, tmsize_t count) {
  Memory& m = memory(handle);
  const std::size_t left = m.place < m.bytes.size() ? m.bytes.size() - m.place : 0;
  const std::size_t taken = std::min(left, static_cast<std::size_t>(std::max<tmsize_t>(0, count)));
  if (taken > 0) std::memcpy(to, m.bytes.data() + m.place, taken);
  m.place += taken;
  return static_cast<tmsize_t>(taken);
}
tmsize_t write_nothing(thandle_t /*handle*/, void* /*from*/, tmsize_t /*count*/) { return 0; }
toff_t seek(thandle_t handle, toff_t offset, int whence) {
  Memory& m = memory(handle);
  if (whence == SEEK_CUR) offset += m.place;
  if (whence == SEEK_END) offset += m.bytes.size();
  m.place = offset;
  return offset;
}
int close_nothing(thandle_t /*handle*/) { return 0; }
toff_t size_of(thandle_t handle) { return memory(handle).bytes.size(); }

[[gnu::format(printf, 4, 0)]] int keep_fault(TIFF* /*tiff*/, void* handle, const char* /*module*/, const char* format,
                                             va_list arguments) {
  auto* m = static_cast<Memory*>(handle);
  if (!m->fault.empty()) return 1;
  char text[200] = {};
  (void)std::vsnprintf(text, sizeof text, format, arguments);
  m->fault = text;
  std::ranges::replace_if(m->fault, [](char c) { return c < ' ' || c > '~'; }, '?');
  return 1;
}
int ignore_warning(TIFF* /*tiff*/, void* /*handle*/, const char* /*module*/, const char* /*format*/,
                   va_list /*arguments*/) {
  return 1;
}

using Tiff = std::unique_ptr<TIFF, decltype(&TIFFClose)>;

Tiff open(Memory& m) {
  const std::unique_ptr<TIFFOpenOptions, decltype(&TIFFOpenOptionsFree)> options(TIFFOpenOptionsAlloc(),
                                                                                 &TIFFOpenOptionsFree);
  TIFFOpenOptionsSetErrorHandlerExtR(options.get(), keep_fault, &m);
  TIFFOpenOptionsSetWarningHandlerExtR(options.get(), ignore_warning, &m);
  TIFFOpenOptionsSetMaxSingleMemAlloc(options.get(), tmsize_t{256} << 20);
  return {TIFFClientOpenExt("picture", "rm", &m, read_some, write_nothing, seek, close_nothing, size_of, nullptr,
                            nullptr, options.get()),
          &TIFFClose};
}

PictureFault broken(const Memory& m) {
  return {"the TIFF file is broken or cut short (" + (m.fault.empty() ? "no reason known" : m.fault) + ")",
          "Copy or export it again"};
}

std::uint16_t tag(TIFF* tiff, std::uint32_t name, std::uint16_t otherwise) {
  std::uint16_t value = otherwise;
  return TIFFGetFieldDefaulted(tiff, name, &value) == 1 ? value : otherwise;
}

void check_channels(TIFF* tiff) {
  const std::string remedy = "Export one channel (greyscale) of 8 or 16 bits in strips, without gamma or colour map";
  const std::uint16_t channels = tag(tiff, TIFFTAG_SAMPLESPERPIXEL, 1);
  const std::uint16_t bits = tag(tiff, TIFFTAG_BITSPERSAMPLE, 1);
  const std::uint16_t meaning = tag(tiff, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_MINISBLACK);
  if (meaning == PHOTOMETRIC_PALETTE) throw PictureFault{"the picture has a palette, not measured values", remedy};
  if (channels != 1) {
    throw PictureFault{"the picture has " + std::to_string(channels) + " channels, not 1", remedy};
  }
  if (meaning != PHOTOMETRIC_MINISBLACK) {
    throw PictureFault{"the picture's values do not rise with light", remedy};
  }
  if ((bits != 8 && bits != 16) || tag(tiff, TIFFTAG_SAMPLEFORMAT, SAMPLEFORMAT_UINT) != SAMPLEFORMAT_UINT) {
    throw PictureFault{"the picture's pixels are not whole numbers of 8 or 16 bits", remedy};
  }
  if (TIFFIsTiled(tiff) != 0) throw PictureFault{"the picture is kept in tiles", remedy};
  if (TIFFLastDirectory(tiff) == 0) throw PictureFault{"the file holds several pictures", "Save the one of the beam"};
}

}  // namespace

GreyPicture decode_tiff(std::string_view bytes) {
  Memory m{.bytes = bytes, .fault = {}};
  const Tiff tiff = open(m);
  if (!tiff) throw broken(m);

  std::uint32_t width = 0;
  std::uint32_t height = 0;
  if (TIFFGetField(tiff.get(), TIFFTAG_IMAGEWIDTH, &width) != 1 ||
      TIFFGetField(tiff.get(), TIFFTAG_IMAGELENGTH, &height) != 1) {
    throw broken(m);
  }
  check_size(width, height);
  check_channels(tiff.get());

  GreyPicture picture{.width = width, .height = height, .bits = tag(tiff.get(), TIFFTAG_BITSPERSAMPLE, 8), .value = {}};
  const std::size_t row_bytes = picture.width * static_cast<std::size_t>(picture.bits) / 8;
  if (TIFFScanlineSize(tiff.get()) != static_cast<tmsize_t>(row_bytes)) throw broken(m);
  std::vector<std::uint8_t> row(row_bytes);
  picture.value.reserve(picture.width * picture.height);
  for (std::uint32_t y = 0; y < height; ++y) {
    if (TIFFReadScanline(tiff.get(), row.data(), y, 0) != 1) throw broken(m);
    if (picture.bits == 8) {
      picture.value.insert(picture.value.end(), row.begin(), row.end());
      continue;
    }
    for (std::size_t i = 0; i < picture.width; ++i) {
      std::uint16_t value = 0;
      std::memcpy(&value, &row[2 * i], sizeof value);
      picture.value.push_back(value);
    }
  }
  return picture;
}

}  // namespace throughcure::exchange
