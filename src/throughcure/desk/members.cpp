#include "throughcure/desk/members.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include "throughcure/base/given.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/record_rules.hpp"
#include "throughcure/practice/digest.hpp"
#include "throughcure/practice/random_bytes.hpp"

namespace throughcure::desk {

namespace {

using practice::Account;
using practice::Person;

constexpr std::chrono::hours kCodeLasts{7 * 24};
constexpr std::size_t kLeastSignInName = 2;
constexpr std::size_t kMostSignInName = 60;

std::string password_key(base::AccountId account) { return "password/" + std::to_string(account.number); }
std::string pin_key(base::AccountId account) { return "pin/" + std::to_string(account.number); }
std::string code_key(base::AccountId account) { return "code/" + std::to_string(account.number); }

std::string code_print(std::string_view code) { return base::hex(practice::sha256({code})); }

/// Letters and digits that are not taken for each other (Crockford's 32), in groups of four: 80 bits.
std::string random_code() {
  constexpr std::string_view letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
  std::array<std::uint8_t, 16> bytes{};
  practice::fill_with_random(bytes);
  std::string code;
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    if (i > 0 && i % 4 == 0) code += '-';
    code += letters[bytes[i] % letters.size()];
  }
  return code;
}

/// As somebody types it: small letters, blanks.
std::string plain_code(std::string_view typed) {
  std::string code;
  for (const char c : typed) {
    if (c == ' ' || c == '\t') continue;
    code += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
  }
  return code;
}

store::Kept<Account> kept_account(const store::Reader& reader, base::AccountId account) {
  auto kept = reader.get<Account>(account);
  if (!kept) {
    throw base::InputError({{.file = "account",
                             .field = "account",
                             .what = "there is no such account",
                             .remedy = "Choose a person of the list"}});
  }
  return *std::move(kept);
}

base::Problems sign_in_name_problems(const store::Reader& reader, const std::string& name) {
  base::Problems problems;
  const bool plain = std::ranges::all_of(name, [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '.' || c == '-' || c == '_' || c == '@';
  });
  if (name.size() < kLeastSignInName || name.size() > kMostSignInName || !plain) {
    problems.push_back({.file = {},
                        .field = "sign_in_name",
                        .what = "a sign-in name has 2 to 60 of the characters a-z, 0-9 and . - _ @",
                        .remedy = "Choose a short one, as \"ana\""});
  } else if (account_called(reader, name)) {
    problems.push_back({.file = {},
                        .field = "sign_in_name",
                        .what = "somebody else has the sign-in name \"" + name + "\"",
                        .remedy = "Choose another one"});
  }
  return problems;
}

template <class Record>
void add_problems(base::Problems& problems, const Record& record) {
  for (base::Problem& problem : record_problems(store::table_of<Record>(), base::values_of(record))) {
    problems.push_back(std::move(problem));
  }
}

Invited new_code(store::Writer& writer, base::PersonId person, base::AccountId account, base::Instant now) {
  Invited made{.person = person, .account = account, .code = random_code(), .code_until = now + kCodeLasts};
  made.code = std::to_string(account.number) + "-" + made.code;
  writer.keep_secret(code_key(account), code_print(made.code) + " " + std::to_string(made.code_until.us));
  return made;
}

store::Query everyone() {
  return {.where = {}, .order_by = {}, .descending = false, .limit = std::numeric_limits<std::int32_t>::max()};
}

}  // namespace

std::string sign_in_name_of(std::string_view typed) {
  const std::size_t from = typed.find_first_not_of(" \t");
  if (from == std::string_view::npos) return {};
  std::string name(typed.substr(from, typed.find_last_not_of(" \t") - from + 1));
  for (char& c : name) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return name;
}

bool has_begun(const store::Reader& reader) {
  return std::ranges::any_of(people(reader), [](const PersonRow& row) {
    return row.person.record.role == practice::Role::kLead && row.person.record.active && row.account &&
           row.account->record.password_set_at;
  });
}

practice::Member begin(store::Writer& writer, const Beginning& beginning, base::Instant now,
                       const practice::HashCost& cost) {
  const std::string sign_in_name = sign_in_name_of(beginning.sign_in_name);
  base::Problems problems = sign_in_name_problems(writer, sign_in_name);
  const Person lead{beginning.name, practice::Role::kLead, {}, true, true};
  const Known of_lead{sign_in_name, {beginning.name, beginning.site.name}};
  add_problems(problems, beginning.site);
  add_problems(problems, lead);
  for (base::Problem& problem : password_field_problems(beginning.password, of_lead, "password")) {
    problems.push_back(std::move(problem));
  }
  if (has_begun(writer)) {
    problems.push_back({.file = {},
                        .field = "code",
                        .what = "this practice has a lead already",
                        .remedy = "Sign in, or ask the lead for a code"});
  }
  base::refuse_if_any(problems);
  const base::SiteId site = writer.add(beginning.site);
  Person placed = lead;
  placed.site = site;
  const base::PersonId person = writer.add(placed);
  const base::AccountId account = writer.add(Account{person, sign_in_name, now, {}});
  writer.keep_secret(password_key(account), practice::hash_secret(beginning.password, cost));
  return base::given(member(writer, account));
}

std::optional<practice::Member> member(const store::Reader& reader, base::AccountId account) {
  const auto kept = reader.get<Account>(account);
  if (!kept) return std::nullopt;
  const auto person = reader.get<Person>(kept->record.person);
  if (!person || !person->record.active) return std::nullopt;
  return practice::Member{.account = account,
                          .person = person->id,
                          .name = person->record.name,
                          .role = person->record.role,
                          .site = person->record.site,
                          .everywhere = person->record.everywhere};
}

std::optional<base::AccountId> account_called(const store::Reader& reader, std::string_view sign_in_name) {
  const auto found = reader.list<Account>(
      {.where = {{"sign_in_name", store::Compare::kEqual, sign_in_name_of(sign_in_name)}}, .order_by = {}});
  if (found.empty()) return std::nullopt;
  return found.front().id;
}

std::optional<std::string> password_hash(const store::Reader& reader, base::AccountId account) {
  return reader.secret(password_key(account));
}

std::optional<std::string> pin_hash(const store::Reader& reader, base::AccountId account) {
  return reader.secret(pin_key(account));
}

void set_password(store::Writer& writer, base::AccountId account, const std::string& hash, base::Instant now) {
  store::Kept<Account> kept = kept_account(writer, account);
  kept.record.password_set_at = now;
  writer.correct(account, kept.revision, kept.record);
  writer.keep_secret(password_key(account), hash);
}

void renew_password_hash(store::Writer& writer, base::AccountId account, const std::string& hash) {
  writer.keep_secret(password_key(account), hash);
}

void set_pin(store::Writer& writer, base::AccountId account, const std::string& hash, base::Instant now) {
  store::Kept<Account> kept = kept_account(writer, account);
  kept.record.pin_set_at = now;
  writer.correct(account, kept.revision, kept.record);
  writer.keep_secret(pin_key(account), hash);
}

Known known_of(const store::Reader& reader, base::AccountId account) {
  const Account kept = kept_account(reader, account).record;
  Known known{kept.sign_in_name, {base::given(reader.get<Person>(kept.person)).record.name}};
  for (const auto& site : reader.list<practice::Site>(everyone())) known.names.push_back(site.record.name);
  return known;
}

base::Problems password_field_problems(std::string_view password, const Known& of_them, std::string_view field) {
  base::Problems problems = practice::password_problems(password, of_them.sign_in_name, of_them.names);
  for (base::Problem& problem : problems) problem.field = field;
  return problems;
}

base::Problems pin_field_problems(std::string_view pin, std::string_view field) {
  base::Problems problems = practice::pin_problems(pin);
  for (base::Problem& problem : problems) problem.field = field;
  return problems;
}

Invited invite(store::Writer& writer, const NewPerson& someone, base::Instant now) {
  const std::string sign_in_name = sign_in_name_of(someone.sign_in_name);
  base::Problems problems = sign_in_name_problems(writer, sign_in_name);
  add_problems(problems, someone.person);
  base::refuse_if_any(problems);
  const base::PersonId person = writer.add(someone.person);
  const base::AccountId account = writer.add(Account{person, sign_in_name, {}, {}});
  return new_code(writer, person, account, now);
}

Invited invite_again(store::Writer& writer, base::PersonId person, base::Instant now) {
  const auto accounts =
      writer.list<Account>({.where = {{"person", store::Compare::kEqual, person.number}}, .order_by = {}});
  if (accounts.empty()) {
    throw base::InputError({{.file = "person",
                             .field = "person",
                             .what = "this person has no account",
                             .remedy = "Add the person anew, with a sign-in name"}});
  }
  store::Kept<Account> kept = accounts.front();
  kept.record.password_set_at = std::nullopt;
  kept.record.pin_set_at = std::nullopt;
  writer.correct(kept.id, kept.revision, kept.record);
  writer.forget_secret(password_key(kept.id));
  writer.forget_secret(pin_key(kept.id));
  writer.end_sign_ins_of(kept.id);
  return new_code(writer, person, kept.id, now);
}

Invited another_code(store::Writer& writer, base::AccountId account, base::Instant now) {
  const Account kept = kept_account(writer, account).record;
  if (kept.password_set_at) {
    throw store::Conflict("this person has come in by their code already. Nothing is to be done.");
  }
  return new_code(writer, kept.person, account, now);
}

std::optional<base::AccountId> account_in_code(std::string_view code) {
  const std::string plain = plain_code(code);
  const auto number = base::whole_number(std::string_view(plain).substr(0, plain.find('-')));
  return number ? std::optional(base::AccountId{*number}) : std::nullopt;
}

std::optional<base::AccountId> account_of_code(const store::Reader& reader, std::string_view code, base::Instant now) {
  const std::string plain = plain_code(code);
  const auto named = account_in_code(plain);
  if (!named) return std::nullopt;
  const base::AccountId account = *named;
  const std::string kept = reader.secret(code_key(account)).value_or("");
  const std::size_t blank = kept.find(' ');
  if (blank == std::string::npos || !member(reader, account)) return std::nullopt;
  const auto until = base::whole_number(std::string_view(kept).substr(blank + 1));
  if (kept.substr(0, blank) != code_print(plain) || !until || *until <= now.us) return std::nullopt;
  return account;
}

void join(store::Writer& writer, base::AccountId account, const std::string& password_hash, base::Instant now) {
  set_password(writer, account, password_hash, now);
  writer.forget_secret(code_key(account));
}

std::vector<PersonRow> people(const store::Reader& reader) {
  std::vector<PersonRow> rows;
  const auto accounts = reader.list<Account>(everyone());
  for (auto& person : reader.list<Person>(everyone())) {
    PersonRow row{.person = std::move(person), .account = {}};
    const auto at = std::ranges::find(accounts, row.person.id, [](const auto& kept) { return kept.record.person; });
    if (at != accounts.end()) row.account = *at;
    rows.push_back(std::move(row));
  }
  return rows;
}

void change_person(store::Writer& writer, base::PersonId person, std::int64_t revision, const Person& changed) {
  base::Problems problems;
  add_problems(problems, changed);
  base::refuse_if_any(problems);
  writer.correct(person, revision, changed);
  if (has_begun(writer)) return;
  throw base::InputError({{.file = "person",
                           .field = "role",
                           .what = "nobody could answer for the lights any more",
                           .remedy = "Make somebody else lead first, who has signed in"}});
}

}  // namespace throughcure::desk
