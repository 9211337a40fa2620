#include "throughcure/service/print_routes.hpp"

#include <algorithm>

#include "throughcure/base/given.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_labels.hpp"
#include "throughcure/service/guard.hpp"
#include "throughcure/service/label_print.hpp"
#include "throughcure/service/report_print.hpp"
#include "throughcure/service/room_log_print.hpp"

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

desk::LocalMonth month_in_query(const Call& call) {
  const std::string text = text_in_query(call, "month").value_or("");
  const auto month = desk::parse_month(text);
  if (!month) base::refuse("month", "\"" + text + "\" is no month", "Give one as 2026-11");
  return *month;
}

Response room_log(const Call& call, const RecordsDesk& desk) {
  const desk::LocalMonth month = month_in_query(call);
  const std::int64_t room = number_in_query(call, "room").value_or(0);
  const base::Instant now = desk.settings.now();
  std::optional<desk::RoomLog> log;
  desk.records->read(
      [&](const store::Reader& reader) { log = desk::room_log(reader, member_of(call), {room}, month, now); });
  return pdf(room_log_print(base::given(std::move(log)), now),
             "room-log-" + std::to_string(room) + "-" + desk::month_code(month) + ".pdf");
}

Response report(const Call& call, const RecordsDesk& desk) {
  const desk::LocalMonth month = month_in_query(call);
  const auto number = number_in_query(call, "light");
  const base::Instant now = desk.settings.now();
  std::optional<desk::MonthReport> report;
  desk.records->read([&](const store::Reader& reader) {
    const auto only = number ? std::optional(base::LightId{*number}) : std::nullopt;
    report = desk::month_report(reader, member_of(call), month, only, now);
  });
  const std::string of_light = number ? "light-" + std::to_string(*number) + "-" : "report-";
  return pdf(report_print(base::given(std::move(report)), now), of_light + desk::month_code(month) + ".pdf");
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
  routes.push_back(pdf_route("/api/room-log.pdf", Access::signed_in,
                             "The log of a room's checks in a month, with rows to fill in by hand.", "room month",
                             on(room_log)));
  routes.push_back(pdf_route("/api/report.pdf", Access::signed_in,
                             "The report of a month: in sentences, then a page for each light, or of one light alone.",
                             "month light", on(report)));
  return routes;
}

}  // namespace throughcure::service
