#include "throughcure/service/uploaded_name.hpp"

#include <utility>

#include "throughcure/base/problem.hpp"

namespace throughcure::service {

namespace {

constexpr std::string_view kNameHeader = "x-file-name";

}  // namespace

std::string uploaded_name(const Call& call) {
  const std::string_view header = call.request.header(kNameHeader);
  auto name = percent_decoded(header);
  if (!name || name->empty()) {
    base::refuse(std::string(kNameHeader), "the file's name is missing, or no percent-encoded text",
                 "Send it in this header");
  }
  if (name->find_first_of("/\\") != std::string::npos) {
    base::refuse(std::string(kNameHeader), "a file's name has no slash in it", "Send the name without its folder");
  }
  return *std::move(name);
}

}  // namespace throughcure::service
