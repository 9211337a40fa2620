#include "throughcure/service/sessions.hpp"

#include <algorithm>

namespace throughcure::service {

namespace {

/// Drops what has ended, then what ends first until one more fits into `most`.
template <class Map>
void make_room(Map& entries, std::size_t most, Instant now) {
  std::erase_if(entries, [now](const auto& entry) { return entry.second.ends <= now; });
  while (!entries.empty() && entries.size() >= most) {
    entries.erase(std::min_element(entries.begin(), entries.end(),
                                   [](const auto& a, const auto& b) { return a.second.ends < b.second.ends; }));
  }
}

}  // namespace

std::string Sessions::invite(std::string_view person, Instant now) {
  std::string token = random_token();
  const std::scoped_lock lock(mutex_);
  make_room(links_, rules_.most_links, now);
  links_.emplace(fingerprint(token), Link{std::string(person), now + rules_.link_lasts});
  return token;
}

std::optional<std::string> Sessions::accept(std::string_view token, Instant now) {
  const std::scoped_lock lock(mutex_);
  const auto link = links_.find(fingerprint(token));
  if (link == links_.end()) return std::nullopt;
  const Link used = std::move(link->second);
  links_.erase(link);
  if (used.ends <= now) return std::nullopt;
  std::string cookie = random_token();
  make_room(sessions_, rules_.most_sessions, now);
  sessions_.emplace(fingerprint(cookie), Session{used.person, random_token(), now + rules_.session_lasts});
  return cookie;
}

std::optional<Session> Sessions::find(std::string_view cookie, Instant now) const {
  const std::scoped_lock lock(mutex_);
  const auto session = sessions_.find(fingerprint(cookie));
  if (session == sessions_.end() || session->second.ends <= now) return std::nullopt;
  return session->second;
}

void Sessions::close(std::string_view cookie) {
  const std::scoped_lock lock(mutex_);
  sessions_.erase(fingerprint(cookie));
}

}  // namespace throughcure::service
