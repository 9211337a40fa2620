#include "throughcure/service/door_routes.hpp"

#include <algorithm>
#include <functional>
#include <utility>

#include <nlohmann/json.hpp>

#include "throughcure/base/given.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/members.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/service/body.hpp"
#include "throughcure/service/guard.hpp"
#include "throughcure/service/pages.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

// What tries are counted by.
constexpr const char* kNobodysCode = "join";
std::string name_key(const std::string& sign_in_name) { return "name/" + sign_in_name; }
std::string join_key(base::AccountId account) { return "join/" + std::to_string(account.number); }
std::string pin_key(base::AccountId account) { return "pin/" + std::to_string(account.number); }
std::string again_key(base::AccountId account) { return "again/" + std::to_string(account.number); }

store::Author by_program(const RecordsDesk& desk) { return {"program", desk.settings.now()}; }

/// Signs somebody in: kept first, so that nobody holds a cookie that a restart would forget. `also` is done in the same
/// transaction; where it throws, nobody is signed in.
Response let_in(int status, const RecordsDesk& desk, const practice::Member& member, const SignedBy& by,
                const std::function<void(store::Writer&)>& also = {}) {
  const NewSession made = desk.sessions->open(member, by, desk.settings.now());
  try {
    desk.records->write(by_program(desk), [&](store::Writer& writer) {
      writer.end_sign_ins_before(desk.settings.now());
      if (also) also(writer);
      writer.keep_sign_in(made.kept);
    });
  } catch (...) {
    desk.sessions->close(made.cookie);
    throw;
  }
  return signed_in(status, made, desk.settings);
}

/// Ends a sign-in that another takes the place of. Throws desk::Forbidden where it ended while the other was on its
/// way: then the other must not come to be.
void take_the_place_of(store::Writer& writer, const std::string& cookie) {
  const std::string print = kept_fingerprint(cookie);
  const std::vector<store::SignIn> all = writer.sign_ins();
  if (std::ranges::find(all, print, &store::SignIn::fingerprint) == all.end()) {
    throw desk::Forbidden("This device was signed out meanwhile. Sign in with your password.");
  }
  writer.end_sign_in(print);
}

/// This browser is out in any case. Where the records cannot keep that, the page is told so: a restart would take the
/// session in again, for whoever has got hold of its cookie.
Response sign_out(const Call& call, const RecordsDesk& desk) {
  const std::string cookie(cookie_value(call.request.header("cookie"), cookie_name(desk.settings.reach)).value_or(""));
  Response out{204, {}, {}};
  try {
    desk.records->write(by_program(desk), [&](store::Writer& writer) { writer.end_sign_in(kept_fingerprint(cookie)); });
  } catch (const std::exception& error) {
    desk.settings.log(error.what());
    out = refusal_json(503,
                       "You are signed out here, but the records could not keep that: if the program is started again "
                       "within twelve hours, the sign-in that you left counts again for who has its cookie. The "
                       "program's own log says what is wrong with the records.");
  }
  desk.sessions->close(cookie);
  out.headers.push_back({"set-cookie", session_cookie(desk.settings.reach, "", std::chrono::seconds(0))});
  return out;
}

Response door(const RecordsDesk& desk) {
  bool begun = false;
  desk.records->read([&](const store::Reader& reader) { begun = desk::has_begun(reader); });
  const json body{{"demo", desk.settings.demo}, {"begun", begun}, {"version", desk.settings.version}};
  return json_response(200, body.dump() + "\n");
}

void refuse_code() {
  throw base::InputError({{.file = {},
                           .field = "code",
                           .what = "this code does not open the door",
                           .remedy = "Type it as it was told to you; a code serves once, and for a week at most"}});
}

Response begin(const Call& call, const RecordsDesk& desk, Door& door) {
  const Body body(call.request.body);
  const desk::Beginning beginning{.name = body.text("name"),
                                  .sign_in_name = body.text("sign_in_name"),
                                  .password = body.text("password"),
                                  .site = {body.part("site").text("name"), body.part("site").text("time_zone")}};
  const std::string code = body.text("code");
  body.finish();
  const base::Instant now = desk.settings.now();
  // By where it comes from: whoever guesses on one machine keeps nobody waiting at another.
  const std::string key = "begin/" + call.request.from;
  must_be_let_try(door, key, call, now);
  if (door.first_code.empty() || !same_secret(code, door.first_code)) refuse_code();
  door.attempts.clear(key);
  practice::Member lead;
  desk.records->write(by_program(desk),
                      [&](store::Writer& writer) { lead = desk::begin(writer, beginning, now, door.cost); });
  return let_in(201, desk, lead, {});
}

Response sign_in(const Call& call, const RecordsDesk& desk, Door& door) {
  const Body body(call.request.body);
  const std::string name = desk::sign_in_name_of(body.text("sign_in_name"));
  const std::string password = body.text("password");
  const bool shared = body.yes("shared", false);
  body.finish();
  const base::Instant now = desk.settings.now();
  must_be_let_try(door, name_key(name), call, now);
  std::optional<practice::Member> member;
  std::string hash;
  desk.records->read([&](const store::Reader& reader) {
    const auto account = desk::account_called(reader, name);
    if (!account) return;
    member = desk::member(reader, *account);
    hash = desk::password_hash(reader, *account).value_or("");
  });
  // A name that nobody has takes as long as one that somebody has.
  const bool right = practice::secret_matches(hash.empty() ? practice::hash_of_no_secret(door.cost) : hash, password);
  if (!member || hash.empty() || !right) {
    return refusal_json(403, "This name and this password do not go together. Try again, or ask the lead for a code.");
  }
  door.attempts.clear(name_key(name));
  if (practice::needs_new_hash(hash, door.cost)) {
    const std::string renewed = practice::hash_secret(password, door.cost);
    desk.records->write(by_program(desk),
                        [&](store::Writer& writer) { desk::renew_password_hash(writer, member->account, renewed); });
  }
  return let_in(200, desk, *member, {.shared = shared});
}

Response join(const Call& call, const RecordsDesk& desk, Door& door) {
  const Body body(call.request.body);
  const std::string code = body.text("code");
  const std::string password = body.text("password");
  body.finish();
  const base::Instant now = desk.settings.now();
  // A code of 80 bits is not guessed: each person's tries count by themselves, or a stranger's would lock everybody
  // out.
  const auto named = desk::account_in_code(code);
  const std::string key = named ? join_key(*named) : kNobodysCode;
  must_be_let_try(door, key, call, now);
  std::optional<base::AccountId> account;
  desk::Known known;
  desk.records->read([&](const store::Reader& reader) {
    account = desk::account_of_code(reader, code, now);
    if (account) known = desk::known_of(reader, *account);
  });
  if (!account) refuse_code();
  door.attempts.clear(key);
  base::refuse_if_any(desk::password_field_problems(password, known, "password"));
  const std::string hash = practice::hash_secret(password, door.cost);
  std::optional<practice::Member> member;
  desk.records->write(by_program(desk), [&](store::Writer& writer) {
    if (desk::account_of_code(writer, code, now) != account) refuse_code();  // used while the password was hashed
    desk::join(writer, *account, hash, now);
    member = desk::member(writer, *account);
  });
  return let_in(200, desk, base::given(member), {});
}

Response people_here(const Call& call, const RecordsDesk& desk) {
  json rows = json::array();
  const Session session = base::given(call.session);
  if (session.shared && desk.settings.now() < session.pins_until) {
    desk.records->read([&](const store::Reader& reader) {
      for (const desk::PersonRow& row : desk::people(reader)) {
        if (!row.account || !row.account->record.pin_set_at) continue;
        const auto member = desk::member(reader, row.account->id);
        if (!member || !member->sees(session.member.site)) continue;
        rows.push_back(
            {{"account", member->account.number}, {"name", member->name}, {"role", role_word(member->role)}});
      }
    });
  }
  return json_response(200, json{{"people", rows}}.dump() + "\n");
}

/// The secret that somebody gave again, against its hash; wrong ones are counted.
void must_match(Door& door, const Call& call, const std::string& key, const std::optional<std::string>& hash,
                const std::string& secret, std::string_view field, base::Instant now) {
  must_be_let_try(door, key, call, now);
  if (practice::secret_matches(hash.value_or(practice::hash_of_no_secret(door.cost)), secret) && hash) {
    door.attempts.clear(key);
    return;
  }
  throw base::InputError({{.file = {},
                           .field = std::string(field),
                           .what = "that is not the right one",
                           .remedy = "Type it again; the lead can give a new code"}});
}

Response change_over(const Call& call, const RecordsDesk& desk, Door& door) {
  const Body body(call.request.body);
  const base::AccountId account{body.whole("account")};
  const std::string pin = body.text("pin");
  body.finish();
  const Session session = base::given(call.session);
  const base::Instant now = desk.settings.now();
  if (!session.shared || now >= session.pins_until) {
    throw desk::Forbidden(
        "PINs serve only on a device that stays in a room, for some hours after a sign-in with a "
        "password. Sign in with yours.");
  }
  std::optional<practice::Member> member;
  std::optional<std::string> hash;
  desk.records->read([&](const store::Reader& reader) {
    member = desk::member(reader, account);
    hash = desk::pin_hash(reader, account);
  });
  if (member && !member->sees(session.member.site)) member.reset();
  must_match(door, call, pin_key(account), member ? hash : std::nullopt, pin, "pin", now);
  const std::string before(cookie_value(call.request.header("cookie"), cookie_name(desk.settings.reach)).value_or(""));
  Response out = let_in(
      200, desk, base::given(member),
      {.rests_on = session.rests_on.value_or(session.member.account), .shared = true, .pins_until = session.pins_until},
      [&](store::Writer& writer) { take_the_place_of(writer, before); });
  desk.sessions->close(before);
  return out;
}

std::optional<std::string> own_password(const Call& call, const RecordsDesk& desk) {
  std::optional<std::string> hash;
  desk.records->read([&](const store::Reader& reader) { hash = desk::password_hash(reader, member_of(call).account); });
  return hash;
}

std::string own_key(const Call& call) { return again_key(member_of(call).account); }

Response new_password(const Call& call, const RecordsDesk& desk, Door& door) {
  const Body body(call.request.body);
  const std::string old = body.text("old");
  const std::string chosen = body.text("new");
  body.finish();
  const base::Instant now = desk.settings.now();
  must_match(door, call, own_key(call), own_password(call, desk), old, "old", now);
  const base::AccountId account = member_of(call).account;
  desk::Known known;
  desk.records->read([&](const store::Reader& reader) { known = desk::known_of(reader, account); });
  base::refuse_if_any(desk::password_field_problems(chosen, known, "new"));
  const std::string hash = practice::hash_secret(chosen, door.cost);
  // Whoever else was signed in as this person is not any more; a new session takes the place of this one.
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    desk::set_password(writer, account, hash, now);
    writer.end_sign_ins_of(account);
  });
  desk.sessions->close_all(account);
  const Session session = base::given(call.session);
  return let_in(200, desk, session.member, {.shared = session.shared});
}

Response new_pin(const Call& call, const RecordsDesk& desk, Door& door) {
  const Body body(call.request.body);
  const std::string password = body.text("password");
  const std::string pin = body.text("pin");
  body.finish();
  const base::Instant now = desk.settings.now();
  must_match(door, call, own_key(call), own_password(call, desk), password, "password", now);
  base::refuse_if_any(desk::pin_field_problems(pin, "pin"));
  const std::string hash = practice::hash_secret(pin, door.cost);
  desk.records->write(author_of(call, desk),
                      [&](store::Writer& writer) { desk::set_pin(writer, member_of(call).account, hash, now); });
  return {204, {}, {}};
}

}  // namespace

void must_be_let_try(Door& door, const std::string& key, const Call& call, base::Instant now) {
  const Admission admission = door.attempts.begin(key, call.request.from, now);
  if (admission.closed) {
    throw desk::Forbidden(
        "After so many wrong tries this is closed until the lead gives a new code, or the program is started again.");
  }
  if (!admission.granted()) throw TooSoon(admission.wait);
}

void open_again(Door& door, base::AccountId account, const std::string& sign_in_name) {
  for (const std::string& key : {name_key(sign_in_name), join_key(account), pin_key(account), again_key(account)}) {
    door.attempts.clear(key);
  }
}

void sign(const Call& call, const RecordsDesk& desk, Door& door, const std::string& password) {
  must_match(door, call, own_key(call), own_password(call, desk), password, "password", desk.settings.now());
}

std::vector<Route> door_routes(const RecordsDesk& desk, Door& door_state) {
  std::vector<Route> routes;
  Door* const at = &door_state;
  const auto on = [&](auto work) {
    return on_desk(desk, [desk, at, work](const Call& call) { return work(call, desk, *at); });
  };
  routes.push_back({Method::get, "/api/door", Access::open, "Whether the practice has begun, and whether it is a demo.",
                    on_desk(desk, [desk](const Call&) { return door(desk); }), true, "", "Door"});
  routes.push_back({Method::post, "/api/door/begin", Access::open,
                    "The first start: makes the first site and its lead, by the code that the terminal shows.",
                    on(begin), true, "Beginning", "Session"});
  routes.push_back(
      {Method::post, "/api/door/sign-in", Access::open, "Signs somebody in.", on(sign_in), true, "SignIn", "Session"});
  routes.push_back({Method::post, "/api/door/join", Access::open,
                    "Sets a first password, or a new one, by the code that the lead gave.", on(join), true, "Join",
                    "Session"});
  routes.push_back({Method::del, "/api/session", Access::signed_in, "Signs this browser out.",
                    on_desk(desk, [desk](const Call& call) { return sign_out(call, desk); })});
  routes.push_back({Method::get, "/api/session/people", Access::signed_in, "Who may change over by PIN on this device.",
                    on_desk(desk, [desk](const Call& call) { return people_here(call, desk); }), true, "",
                    "PeopleHere"});
  routes.push_back({Method::post, "/api/session/switch", Access::signed_in,
                    "Changes over to somebody else by their PIN, on a device that stays in a room.", on(change_over),
                    true, "ChangeOver", "Session"});
  routes.push_back({Method::post, "/api/session/password", Access::signed_in,
                    "Sets one's own password; ends one's other sign-ins.", on(new_password), true, "NewPassword",
                    "Session"});
  routes.push_back(
      {Method::post, "/api/session/pin", Access::signed_in, "Sets one's own PIN.", on(new_pin), true, "NewPin"});
  return routes;
}

}  // namespace throughcure::service
