#include "throughcure/service/sessions.hpp"

#include <algorithm>

#include "throughcure/base/hex.hpp"

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

std::string person_key(base::AccountId account) { return std::to_string(account.number); }

}  // namespace

Instant system_now() {
  return {std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::system_clock::now().time_since_epoch())
              .count()};
}

std::string kept_fingerprint(std::string_view cookie) { return base::hex(fingerprint(cookie)); }

std::string Sessions::invite(const practice::Member& member, Instant now) {
  std::string token = random_token();
  const std::scoped_lock lock(mutex_);
  make_room(links_, rules_.most_links, now);
  links_.emplace(fingerprint(token), Link{member, now + rules_.link_lasts});
  return token;
}

std::optional<NewSession> Sessions::accept(std::string_view token, Instant now) {
  Link used;
  {
    const std::scoped_lock lock(mutex_);
    const auto link = links_.find(fingerprint(token));
    if (link == links_.end()) return std::nullopt;
    used = std::move(link->second);
    links_.erase(link);
  }
  if (used.ends <= now) return std::nullopt;
  return open(used.member, {}, now);
}

NewSession Sessions::open(const practice::Member& member, const SignedBy& by, Instant now) {
  NewSession made;
  made.cookie = random_token();
  made.session = {.member = member,
                  .person = person_key(member.account),
                  .page_token = random_token(),
                  .rests_on = by.rests_on,
                  .shared = by.shared,
                  .pins_until = by.pins_until.value_or(by.shared ? now + rules_.pins_last : now),
                  .ends = now + rules_.session_lasts};
  // A PIN serves no longer than the full sign-in that it stands on.
  if (by.rests_on) made.session.ends = std::min(made.session.ends, made.session.pins_until);
  made.kept = {.fingerprint = kept_fingerprint(made.cookie),
               .account = member.account,
               .page_token = made.session.page_token,
               .rests_on = by.rests_on,
               .shared = by.shared,
               .fresh_until = made.session.pins_until,
               .ends = made.session.ends};
  const std::scoped_lock lock(mutex_);
  make_room(sessions_, rules_.most_sessions, now);
  sessions_.emplace(fingerprint(made.cookie), made.session);
  return made;
}

void Sessions::take_in(const store::SignIn& kept, const practice::Member& member) {
  const auto print = base::from_hex<std::tuple_size_v<Fingerprint>>(kept.fingerprint);
  if (!print) return;
  const std::scoped_lock lock(mutex_);
  sessions_.insert_or_assign(*print, Session{.member = member,
                                             .person = person_key(member.account),
                                             .page_token = kept.page_token,
                                             .rests_on = kept.rests_on,
                                             .shared = kept.shared,
                                             .pins_until = kept.fresh_until,
                                             .ends = kept.ends});
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

void Sessions::close_all(base::AccountId account) {
  const std::scoped_lock lock(mutex_);
  std::erase_if(sessions_, [account](const auto& entry) {
    const Session& session = entry.second;
    return session.member.account == account || session.rests_on == account;
  });
  std::erase_if(links_, [account](const auto& entry) { return entry.second.member.account == account; });
}

void Sessions::refresh(const practice::Member& member) {
  const std::scoped_lock lock(mutex_);
  for (auto& [print, session] : sessions_) {
    if (session.member.account == member.account) session.member = member;
  }
}

}  // namespace throughcure::service
