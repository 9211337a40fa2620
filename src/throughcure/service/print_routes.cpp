#include "throughcure/service/print_routes.hpp"

#include <algorithm>

#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_labels.hpp"
#include "throughcure/service/guard.hpp"
#include "throughcure/service/label_print.hpp"

namespace throughcure::service {

namespace {

constexpr const char* kPdf = "application/pdf";
constexpr std::size_t kMostLabels = 1000;

/// Shown in the browser, under a plain name when it is kept.
Response pdf(const draw::Print& print, const std::string& file_name) {
  Response out = text_response(200, kPdf, draw::paint_pdf(print));
  out.headers.push_back({"content-disposition", "inline; filename=\"" + file_name + "\""});
  // A browser shows a PDF by a small page of its own, which has a style in it; the file itself loads nothing.
  out.headers.push_back({"content-security-policy",
                         "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; frame-ancestors 'none'"});
  return out;
}

std::vector<base::LightId> lights_in_query(const Call& call) {
  std::vector<base::LightId> lights;
  const std::string text = text_in_query(call, "lights").value_or("");
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find(',', from), text.size());
    const auto number = base::whole_number(text.substr(from, to - from));
    if (!number || *number < 1) base::refuse("lights", "\"" + text + "\" is no list of lights", "Give numbers: 1,2");
    lights.push_back({*number});
    from = to + 1;
  }
  if (lights.size() > kMostLabels) {
    base::refuse("lights", "it names " + std::to_string(lights.size()) + " labels",
                 "Print " + std::to_string(kMostLabels) + " at once at most");
  }
  return lights;
}

Response labels(const Call& call, const RecordsDesk& desk) {
  const std::vector<base::LightId> asked = lights_in_query(call);
  std::vector<desk::LightLabel> lights;
  desk.records->read([&](const store::Reader& reader) { lights = desk::light_labels(reader, member_of(call), asked); });
  return pdf(label_print(lights, asked_origin(call.request, desk.settings.reach), desk.settings.now()), "labels.pdf");
}

Route pdf_route(std::string pattern, Access access, std::string summary, std::string queries, Handler handler) {
  Route route{.method = Method::get,
              .pattern = std::move(pattern),
              .access = access,
              .summary = std::move(summary),
              .handler = std::move(handler)};
  route.queries = std::move(queries);
  route.gives_media = kPdf;
  return route;
}

}  // namespace

std::vector<Route> print_routes(const RecordsDesk& desk) {
  const auto on = [&](auto work) { return on_desk(desk, [desk, work](const Call& call) { return work(call, desk); }); };
  std::vector<Route> routes;
  routes.push_back(pdf_route("/api/labels.pdf", Access::assistant,
                             "Labels to stick to lights, all or those named: each leads a phone to its check.",
                             "lights", on(labels)));
  return routes;
}

}  // namespace throughcure::service
