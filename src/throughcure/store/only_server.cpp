#include "throughcure/store/only_server.hpp"

#include <cstdint>
#include <exception>
#include <string>
#include <utility>
#include <variant>

#include "throughcure/base/problem.hpp"
#include "throughcure/store/session.hpp"

namespace throughcure::store {

namespace {

/// The same place, by a connection that this side gives up within half a minute where the network is silent: whoever
/// stops the program does not wait for the quarter of an hour that the system would. Of no effect on one that leads
/// to no other machine.
Place that_gives_up(const Place& place) {
  const auto* const server = std::get_if<OnServer>(&place);
  if (server == nullptr) return place;
  const std::string& given = server->connection;
  const bool is_address = given.starts_with("postgresql://") || given.starts_with("postgres://");
  std::string all = given;
  std::string between = is_address ? (given.find('?') == std::string::npos ? "?" : "&") : " ";
  for (const char* const setting : {"connect_timeout=10", "keepalives=1", "keepalives_idle=10", "keepalives_interval=5",
                                    "keepalives_count=3", "tcp_user_timeout=20000"}) {
    all.append(between).append(setting);
    between = is_address ? "&" : " ";
  }
  return OnServer{all};
}

/// Asks for or about the lock, which the connection keeps and which is gone with it. It is of the schema, for in that
/// the tables lie; locks of two numbers are none of one, as the writers' is (session_parts.cpp).
bool lock(Session& session, const std::string& function) {
  const Values got =
      session.ask_one("SELECT CASE WHEN " + function + "(20050, hashtext(current_schema())) THEN 1 ELSE 0 END", {},
                      {base::ValueType::kWhole});
  return !got.empty() && std::get<std::int64_t>(got.front()) == 1;
}

}  // namespace

OnlyServer::OnlyServer(Place place) : place_(std::move(place)) {
  if (std::holds_alternative<OnServer>(place_)) take();
}

OnlyServer::~OnlyServer() {
  if (!session_) return;
  try {
    // At once: the end of a connection takes its time at the server.
    lock(*session_, "pg_advisory_unlock");
  } catch (const std::exception&) {  // NOLINT(bugprone-empty-catch): the lock goes with the connection
  }
}

void OnlyServer::take() {
  auto session = std::make_unique<Session>(that_gives_up(place_));
  // A machine that lost its power cannot say that it serves no more: the database finds out within a minute.
  for (const char* const setting :
       {"SET tcp_keepalives_idle = 30", "SET tcp_keepalives_interval = 10", "SET tcp_keepalives_count = 3"}) {
    session->run(setting);
  }
  if (!lock(*session, "pg_try_advisory_lock")) {
    throw base::Failure(
        "another throughcure serves the records of this database already. Use that one, or stop it first; where its "
        "machine lost its power, try again in a minute.");
  }
  session_ = std::move(session);
}

bool OnlyServer::is_held() noexcept {
  if (!session_) return false;
  try {
    return !session_->ask_one("SELECT 1", {}, {base::ValueType::kWhole}).empty();
  } catch (const std::exception&) {
    return false;
  }
}

std::string OnlyServer::look() {
  if (!std::holds_alternative<OnServer>(place_) || is_held()) {
    told_.clear();
    return {};
  }
  session_.reset();
  try {
    take();
    told_.clear();
    return {};
  } catch (const base::Failure& failure) {
    if (told_ == failure.what()) return {};
    told_ = failure.what();
    return told_;
  }
}

}  // namespace throughcure::store
