#include "throughcure/service/site.hpp"

#include <algorithm>
#include <array>
#include <exception>
#include <utility>

#include <nlohmann/json.hpp>

#include "throughcure/service/guard.hpp"
#include "throughcure/service/openapi.hpp"
#include "throughcure/service/pages.hpp"

namespace throughcure::service {

namespace {

constexpr std::string_view kSignedOut = "You are not signed in";
constexpr std::string_view kHowToSignIn = "Open the program's page and sign in.";
constexpr std::string_view kNotYours = "Your role does not allow this";
constexpr std::chrono::hours kCookieLasts{12};
constexpr std::string_view kHtml = "text/html; charset=utf-8";

/// The places of the page; their addresses, and all below them, show the page itself.
constexpr std::array<std::string_view, 9> kPlaces{"today", "lights", "restoration", "look-back", "setup",
                                                  "check", "begin",  "sign-in",     "join"};

bool is_api(const Target& target) { return !target.segments.empty() && target.segments.front() == "api"; }
bool is_change(Method method) { return method != Method::get && method != Method::head; }

/// A browser that only looks ahead must not use the link up.
bool is_prefetch(const Request& request) {
  return request.header("sec-purpose").find("prefetch") != std::string_view::npos ||
         request.header("purpose") == "prefetch";
}

Response sign_in(const Call& call, const SiteSettings& settings, Sessions& sessions) {
  if (is_prefetch(call.request)) return refusal(503, false, settings.demo, "Not yet", "Open the link itself.");
  const auto made = sessions.accept(call.parameters.at("token"), settings.now());
  if (!made) {
    return refusal(403, false, settings.demo, "This link does not work any more",
                   "A link signs in once and lasts ten minutes. Stop the program and run \"throughcure serve\" again: "
                   "it prints a new one.");
  }
  // A page that goes on by itself, not a redirect: the browser then sends a strict cookie wherever the link was opened.
  Response out = text_response(200, kHtml, plain_page("You are signed in", {}, settings.demo, "/"));
  out.headers.push_back({"set-cookie", session_cookie(settings.reach, made->cookie, kCookieLasts)});
  return out;
}

Response page(const Call& call, const SiteSettings& settings) {
  const std::string& path = call.parameters.at("path");
  if (auto asset = asset_response(settings.web, path, call.request)) return std::move(*asset);
  const std::string_view place = std::string_view(path).substr(0, path.find('/'));
  if (!path.empty() && std::find(kPlaces.begin(), kPlaces.end(), place) == kPlaces.end()) {
    return refusal(404, false, settings.demo, "Nothing is here", "This address leads nowhere. The start is at /.");
  }
  if (auto index = asset_response(settings.web, "index.html", call.request)) return std::move(*index);
  return text_response(
      200, kHtml,
      plain_page("This build has no page",
                 {"The program was built without its page (THROUGHCURE_WEB=OFF), so there is nothing to draw with.",
                  "Build it with -DTHROUGHCURE_WEB=ON, or name a folder that holds the page with --web."},
                 settings.demo));
}

std::vector<Route> all_routes(const SiteSettings& settings, Sessions& sessions, std::vector<Route> offered) {
  std::vector<Route> table;
  table.push_back({Method::get, "/sign-in/{token}", Access::open, "Uses a one-time link up and signs this browser in.",
                   at_once([settings, &sessions](const Call& call) { return sign_in(call, settings, sessions); }),
                   false});
  table.push_back(
      {Method::get, "/plain.css", Access::open, "The style of the pages that need no script.",
       at_once([](const Call&) { return text_response(200, "text/css; charset=utf-8", std::string(plain_style())); })});
  table.push_back(
      {Method::get, "/mark.svg", Access::open, "The mark in the browser's tab.", at_once([settings](const Call& call) {
         return asset_response(settings.web, "mark.svg", call.request).value_or(Response{204, {}, {}});
       })});
  table.push_back({Method::get, "/api/session", Access::signed_in,
                   "Who is signed in, whether this is a demo, and the token to send back with every change.",
                   at_once([settings](const Call& call) {
                     return text_response(200, "application/json",
                                          session_json(call.session.value_or(Session{}), settings));
                   }),
                   true, "", "Session"});
  std::move(offered.begin(), offered.end(), std::back_inserter(table));
  table.push_back(openapi_route(table, settings.version));
  table.push_back({Method::get, "/api/{path...}", Access::signed_in, "Nothing else is in the API.",
                   at_once([](const Call&) { return refusal_json(404, "Nothing is at this address of the API."); })});
  table.push_back({Method::get, "/{path...}", Access::open, "The page and its files.",
                   at_once([settings](const Call& call) { return page(call, settings); })});
  return table;
}

std::string why_not(const Session& session, Access access) {
  if (access == Access::lead && session.member.role == practice::Role::kLead) {
    return "This asks for your password: sign in with it. A PIN is not enough.";
  }
  const std::string_view least = access == Access::assistant   ? "an assistant, a clinician or the lead"
                                 : access == Access::clinician ? "a clinician or the lead"
                                                               : "the lead";
  return "Only " + std::string(least) + " may do this. Ask one of them.";
}

std::string joined(const std::vector<Method>& methods) {
  std::string out;
  for (const Method method : methods) {
    const std::string name(method_name(method));
    if (out.find(name) == std::string::npos) out += (out.empty() ? "" : ", ") + name;
  }
  return out;
}

}  // namespace

Site::Site(SiteSettings settings, Sessions& sessions, std::vector<Route> routes)
    : settings_(std::move(settings)),
      sessions_(sessions),
      router_(all_routes(settings_, sessions, std::move(routes))) {}

void Site::answer(Request request, const Reply& reply) const {
  const Reply hardened = [reply](Response response) {
    harden(response);
    reply(std::move(response));
  };
  try {
    route(std::move(request), hardened);
  } catch (const std::exception& error) {
    settings_.log(error.what());
    hardened(refusal_json(500, "Something went wrong inside. The program's own log says what."));
  }
}

std::optional<Session> Site::session_of(const Request& request) const {
  const auto cookie = cookie_value(request.header("cookie"), cookie_name(settings_.reach));
  return cookie ? sessions_.find(*cookie, settings_.now()) : std::nullopt;
}

std::size_t Site::most_body_bytes(const Request& head) const {
  const auto target = parse_target(head.target);
  if (!target) return 0;
  const Match match = router_.match(head.method, *target);
  if (match.route == nullptr || match.route->most_body_bytes == 0) return 0;
  const auto session = session_of(head);
  const bool may = session && may_use(*session, match.route->access) && change_is_ours(head, settings_.reach, session);
  return may ? match.route->most_body_bytes : 0;
}

void Site::route(Request request, const Reply& reply) const {
  if (!host_is_ours(request, settings_.reach)) {
    return reply(refusal(421, false, settings_.demo, "Wrong address",
                         "This program answers only at " + origin(settings_.reach) + "/."));
  }
  auto target = parse_target(request.target);
  if (!target) {
    return reply(refusal(400, false, settings_.demo, "Nothing is here", "This address cannot be read."));
  }
  const bool api = is_api(*target);
  const auto session = session_of(request);
  Match match = router_.match(request.method, *target);
  const bool is_open = match.route != nullptr && match.route->access == Access::open;
  if (!session && !is_open) {
    const std::string why =
        api ? std::string(kSignedOut) + ". " + std::string(kHowToSignIn) : std::string(kHowToSignIn);
    return reply(refusal(401, api, settings_.demo, kSignedOut, why));
  }
  if (match.route == nullptr) {
    Response out = refusal(405, api, settings_.demo, "Not possible here",
                           "This address takes " + joined(match.allowed) + " only.");
    out.headers.push_back({"allow", joined(match.allowed)});
    return reply(std::move(out));
  }
  if (is_change(request.method) && !change_is_ours(request, settings_.reach, session)) {
    return reply(refusal(403, api, settings_.demo, "Not from here",
                         "This change did not come from the page of this program. Load the page again."));
  }
  if (session && !may_use(*session, match.route->access)) {
    return reply(refusal(403, api, settings_.demo, kNotYours, why_not(*session, match.route->access)));
  }
  const Handler& handler = match.route->handler;
  handler(Call{std::move(request), std::move(*target), std::move(match.parameters), session}, reply);
}

std::string session_json(const Session& session, const SiteSettings& settings) {
  const practice::Member& member = session.member;
  const nlohmann::json body{{"demo", settings.demo},
                            {"version", settings.version},
                            {"page_token", session.page_token},
                            {"ticket", settings.ticket(session)},
                            {"account", member.account.number},
                            {"person",
                             {{"id", member.person.number},
                              {"name", member.name},
                              {"role", base::Words<practice::Role>::words.at(static_cast<std::size_t>(member.role))},
                              {"site", member.site.number},
                              {"everywhere", member.everywhere}}},
                            {"by_pin", session.by_pin()},
                            {"shared", session.shared},
                            {"pins_until", base::instant_text(session.pins_until)}};
  return body.dump() + "\n";
}

Response signed_in(int status, const NewSession& made, const SiteSettings& settings) {
  Response out = text_response(status, "application/json", session_json(made.session, settings));
  out.headers.push_back({"set-cookie", session_cookie(settings.reach, made.cookie, kCookieLasts)});
  return out;
}

std::string sign_in_link(const SiteSettings& settings, std::string_view token) {
  return origin(settings.reach) + "/sign-in/" + std::string(token);
}

}  // namespace throughcure::service
