// The site on any request: it answers once, never breaks, gives nothing to somebody who has not signed in, and a path
// that it accepts stays in its folder. First line of the input: the target; second: the cookies; the rest: the body.
#include <array>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

#include "throughcure/service/site.hpp"

using namespace throughcure;

namespace {

std::string cut_line(std::string_view& rest) {
  const std::size_t end = rest.find('\n');
  std::string line(rest.substr(0, end));
  rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
  return line;
}

/// What nobody gets without signing in: all of the API.
bool is_closed(const std::string& target) {
  const auto parsed = service::parse_target(target);
  return parsed && !parsed->segments.empty() && parsed->segments.front() == "api";
}

void check(bool holds) {
  if (!holds) std::abort();
}

}  // namespace

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static constexpr std::array<base::EmbeddedFile, 1> page{{{"index.html", "the page", {}, "00"}}};
  std::string_view rest(reinterpret_cast<const char*>(data), size);
  service::Request request;
  request.target = cut_line(rest);
  const std::string target = request.target;
  request.headers = {{"host", "127.0.0.1:8420"}, {"cookie", cut_line(rest)}};
  request.method = static_cast<service::Method>(size % 7);
  request.body = rest;

  if (const auto parsed = service::parse_target(target)) {
    for (const std::string& segment : parsed->segments) {
      check(!segment.empty() && segment != "." && segment != ".." &&
            segment.find_first_of(std::string_view("/\\\0", 3)) == std::string::npos);
    }
  }

  service::Sessions sessions;
  service::SiteSettings settings;
  settings.reach.port = 8420;
  settings.web = base::EmbeddedFiles(page);
  const service::Site site(settings, sessions);
  int answers = 0;
  site.answer(std::move(request), [&](const service::Response& response) {
    ++answers;
    check(response.status >= 200 && response.status < 500);
    check(!is_closed(target) || (response.status >= 400 && response.body.find("the page") == std::string::npos));
  });
  check(answers == 1);
  return 0;
}
