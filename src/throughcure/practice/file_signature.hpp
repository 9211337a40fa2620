// Which of the three kinds of attached files some bytes are: told by their first bytes, never by a name or by what a
// sender calls them.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "throughcure/base/record.hpp"

namespace throughcure::practice {

enum class MediaType : std::uint8_t { kPdf, kPng, kJpeg };

/// Largest attached file [bytes]; chosen here: photographs and scanned certificates stay well below it.
inline constexpr std::size_t kMostAttachedBytes = 25'000'000;

/// By the first bytes only: a file that begins rightly may still be broken or hold other things further on.
///   PDF: "%PDF-", a digit, ".", a digit, at the very start (ISO 32000-1, 7.5.2)
///   PNG: its eight-byte signature (W3C PNG / ISO/IEC 15948, 5.2)
///   JPEG: the marker SOI, then the first byte of another marker (ITU-T T.81, B.1.1.2 and B.2.1)
/// Nothing where it is none of them.
std::optional<MediaType> media_type_of(std::string_view bytes);

/// The same. Throws base::InputError where the bytes are none of them, or more than kMostAttachedBytes.
MediaType accepted_media_type(std::string_view bytes);

}  // namespace throughcure::practice

template <>
struct throughcure::base::Words<throughcure::practice::MediaType> {
  static constexpr std::array<std::string_view, 3> words = {"application/pdf", "image/png", "image/jpeg"};
};
