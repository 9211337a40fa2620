#include "throughcure/service/http.hpp"

#include <algorithm>
#include <utility>

namespace throughcure::service {

std::string_view Request::header(std::string_view name) const {
  const auto named = [name](const Header& header) { return header.name == name; };
  const auto first = std::find_if(headers.begin(), headers.end(), named);
  if (first == headers.end() || std::find_if(std::next(first), headers.end(), named) != headers.end()) return {};
  return first->value;
}

Response text_response(int status, std::string_view media_type, std::string body) {
  return {status, {{"content-type", std::string(media_type)}}, std::move(body)};
}

}  // namespace throughcure::service
