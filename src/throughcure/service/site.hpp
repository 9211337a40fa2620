// All addresses together: checks who asks and from where, then hands the request to its route.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/service/assets.hpp"
#include "throughcure/service/guard.hpp"
#include "throughcure/service/http.hpp"
#include "throughcure/service/router.hpp"
#include "throughcure/service/sessions.hpp"

namespace throughcure::service {

/// What the site is told about where it runs.
struct SiteSettings {
  Reach reach;
  std::string version;
  std::string engine;  ///< what computes: its version, and a mark of the sources that its numbers follow from
  bool demo = false;   ///< every page says so
  AssetSource web;     ///< the page; without an index.html a plain page tells how to get one
  std::function<Instant()> now = system_now;
  /// What lets a page send in later, under whoever is signed in now, what they did while there was no connection.
  std::function<std::string(const Session&)> ticket = [](const Session&) { return std::string(); };
  std::function<void(std::string_view)> log = [](std::string_view) {};  ///< told what went wrong inside
};

/// Answers requests; safe to call from any thread. `sessions` must outlive it.
class Site {
 public:
  /// `routes` are what is offered beside the site's own: one-time links, who is signed in, and the page.
  Site(SiteSettings settings, Sessions& sessions, std::vector<Route> routes = {});

  void answer(Request request, const Reply& reply) const;

  /// How many bytes a request's body may have, by its header alone, where that is more than anybody's may: a route says
  /// so, and the request comes from our page and from somebody who may use the route. 0: it may not.
  [[nodiscard]] std::size_t most_body_bytes(const Request& head) const;

  [[nodiscard]] const std::vector<Route>& routes() const { return router_.routes(); }

 private:
  void route(Request request, const Reply& reply) const;
  [[nodiscard]] std::optional<Session> session_of(const Request& request) const;

  SiteSettings settings_;
  Sessions& sessions_;
  Router router_;
};

/// What the page is told of a session, as JSON.
std::string session_json(const Session& session, const SiteSettings& settings);

/// The answer that signs a browser in.
Response signed_in(int status, const NewSession& made, const SiteSettings& settings);

/// The link that signs a browser in once.
std::string sign_in_link(const SiteSettings& settings, std::string_view token);

}  // namespace throughcure::service
