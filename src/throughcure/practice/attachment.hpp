// A file attached to a record: a scanned certificate, a photograph. Its bytes lie elsewhere, under their hash.
#pragma once

#include <cstdint>
#include <string>
#include <tuple>

#include "throughcure/base/record.hpp"
#include "throughcure/practice/file_signature.hpp"

namespace throughcure::practice {

struct Attachment {
  using Kind = base::AttachmentKind;
  std::string belongs_to;   ///< the kind of the record that it is attached to: "light"
  std::int64_t record = 0;  ///< that record's number
  std::string about;        ///< what it shows: "approval", "instructions for use", "certificate"
  std::string name;         ///< private: the file's, as it was sent
  MediaType media = MediaType::kPdf;
  std::int64_t size = 0;  ///< [bytes]
  std::string sha256;     ///< of its bytes, hexadecimal
  static constexpr auto fields() {
    using A = Attachment;
    return std::tuple{base::field("belongs_to", &A::belongs_to), base::field("record", &A::record),
                      base::field("about", &A::about),           base::field("name", &A::name, base::Privacy::kPrivate),
                      base::field("media", &A::media),           base::field("size", &A::size),
                      base::field("sha256", &A::sha256)};
  }
  friend bool operator==(const Attachment&, const Attachment&) = default;
};

}  // namespace throughcure::practice
