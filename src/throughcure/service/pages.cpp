#include "throughcure/service/pages.hpp"

#include <nlohmann/json.hpp>

#include "throughcure/base/markup.hpp"

namespace throughcure::service {

namespace {}  // namespace

std::string plain_page(std::string_view heading, const std::vector<std::string>& sentences, bool demo,
                       std::string_view onwards) {
  std::string out =
      "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
      base::escaped_markup(heading) +
      "</title>\n<link rel=\"icon\" href=\"/mark.svg\" type=\"image/svg+xml\">\n"
      "<link rel=\"stylesheet\" href=\"/plain.css\">\n";
  if (!onwards.empty()) {
    out += "<meta http-equiv=\"refresh\" content=\"0; url=" + base::escaped_markup(onwards) + "\">\n";
  }
  out += "</head>\n<body>\n";
  if (demo) out += "<header class=\"demo\">This is a demo. The practice and everything in it are invented.</header>\n";
  out += "<main>\n<h1>" + base::escaped_markup(heading) + "</h1>\n";
  for (const std::string& sentence : sentences) out += "<p>" + base::escaped_markup(sentence) + "</p>\n";
  if (!onwards.empty()) out += "<p><a href=\"" + base::escaped_markup(onwards) + "\">Go on</a></p>\n";
  return out + "</main>\n</body>\n</html>\n";
}

std::string_view plain_style() {
  return R"(:root { color-scheme: light dark; --paper: #fbfaf6; --ink: #1d1f24; }
@media (prefers-color-scheme: dark) { :root { --paper: #16181b; --ink: #e9e6dd; } }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1.0625rem/1.5 system-ui, sans-serif; }
main { max-width: 42rem; padding: 1.75rem clamp(1rem, 4vw, 3rem) 3rem; }
h1 { font-size: 1.5rem; font-weight: 600; line-height: 1.25; margin: 0 0 1rem; }
p { margin: 0 0 1rem; }
a { display: inline-block; min-height: 44px; line-height: 44px; color: inherit; }
.demo { padding: 0.35rem clamp(1rem, 4vw, 3rem); border-bottom: 1px dashed currentcolor; font-size: 0.875rem; }
)";
}

Response refusal_json(int status, std::string_view sentence) {
  const nlohmann::json body{{"sentence", sentence}};
  return text_response(status, "application/json",
                       body.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace) + "\n");
}

Response refusal(int status, bool api, bool demo, std::string_view heading, std::string_view sentence) {
  if (api) return refusal_json(status, sentence);
  return text_response(status, "text/html; charset=utf-8", plain_page(heading, {std::string(sentence)}, demo));
}

}  // namespace throughcure::service
