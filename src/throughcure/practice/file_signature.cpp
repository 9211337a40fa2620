#include "throughcure/practice/file_signature.hpp"

#include <string>

#include "throughcure/base/problem.hpp"

namespace throughcure::practice {

namespace {

using namespace std::string_view_literals;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// "%PDF-1.7"
bool begins_as_pdf(std::string_view bytes) {
  constexpr std::size_t header_length = 8;
  return bytes.size() >= header_length && bytes.starts_with("%PDF-"sv) && is_digit(bytes[5]) && bytes[6] == '.' &&
         is_digit(bytes[7]);
}

}  // namespace

std::optional<MediaType> media_type_of(std::string_view bytes) {
  if (begins_as_pdf(bytes)) return MediaType::kPdf;
  if (bytes.starts_with("\x89PNG\r\n\x1a\n"sv)) return MediaType::kPng;
  if (bytes.starts_with("\xff\xd8\xff"sv)) return MediaType::kJpeg;
  return std::nullopt;
}

MediaType accepted_media_type(std::string_view bytes) {
  if (bytes.size() > kMostAttachedBytes) {
    throw base::InputError({{.file = "attachment",
                             .field = "bytes",
                             .what = std::to_string(bytes.size()) + " bytes is more than the " +
                                     std::to_string(kMostAttachedBytes) + " that an attached file may have",
                             .remedy = "Attach a smaller one: fewer pages, or a picture of fewer pixels"}});
  }
  const std::optional<MediaType> type = media_type_of(bytes);
  if (!type) {
    throw base::InputError({{.file = "attachment",
                             .field = "bytes",
                             .what = bytes.empty() ? "the file is empty" : "this file is no PDF, PNG or JPEG",
                             .remedy = "Save or scan it as one of these three, and attach that; another name does not "
                                       "make it one"}});
  }
  return *type;
}

}  // namespace throughcure::practice
