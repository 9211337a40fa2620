// Which function answers which address: one table of routes, so that what the API offers can be listed from it.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/service/http.hpp"
#include "throughcure/service/sessions.hpp"
#include "throughcure/service/target.hpp"

namespace throughcure::service {

/// Who may use a route: anybody who reaches the port, or somebody who has signed in and has at least this role. What a
/// lead may do asks for a full sign-in, not one by PIN.
enum class Access { open, signed_in, assistant, clinician, lead };

/// One matched request on its way to its handler.
struct Call {
  Request request;
  Target target;
  std::map<std::string, std::string, std::less<>> parameters;  ///< what stood at "{name}" in the pattern
  std::optional<Session> session;                              ///< always there when the route wants it
};

using Handler = std::function<void(Call, Reply)>;

/// A row of the table. `pattern` is a path whose segments are literal or "{name}"; "{name...}" at the end takes the
/// rest of the path, empty or not, joined by slashes. A GET route answers HEAD too (the server drops the body) unless
/// it changes something: then `safe` is false and HEAD is refused.
struct Route {
  Method method = Method::get;
  std::string pattern;
  Access access = Access::signed_in;
  std::string summary;  ///< one sentence, for the description of the API
  Handler handler;
  bool safe = true;
  std::string takes{};              ///< name of the API's schema of the body; empty: none
  std::string gives{};              ///< of the answer; empty: no document
  std::string queries{};            ///< names of what may stand in the query, separated by blanks
  std::string gives_media{};        ///< media type of an answer that is no JSON document; empty: none
  std::size_t most_body_bytes = 0;  ///< where it may be more than anybody's request; 0: it may not
};

/// Whether a session may use it.
bool may_use(const Session& session, Access access);

/// A handler that answers at once.
template <class Answer>
Handler at_once(Answer answer) {
  return [answer = std::move(answer)](const Call& call, const Reply& reply) { reply(answer(call)); };
}

/// What the table says about a method and path.
struct Match {
  const Route* route = nullptr;  ///< null: no route for it
  std::map<std::string, std::string, std::less<>> parameters;
  std::vector<Method> allowed;  ///< without a route: the methods that this path does have
};

/// The table. The first route that fits wins, so the more particular patterns stand first; a "{name...}" does not
/// answer for a path that has a pattern of its own with other methods.
class Router {
 public:
  explicit Router(std::vector<Route> routes);
  [[nodiscard]] Match match(Method method, const Target& target) const;
  [[nodiscard]] const std::vector<Route>& routes() const { return routes_; }

 private:
  std::vector<Route> routes_;
  std::vector<std::vector<std::string>> patterns_;
};

std::string_view method_name(Method method);

}  // namespace throughcure::service
