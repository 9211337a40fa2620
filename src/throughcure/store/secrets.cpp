// Secrets and sign-ins: what is overwritten and never logged.
#include <optional>
#include <string>
#include <utility>

#include "throughcure/store/session.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::store {

namespace {

using base::ValueType;

std::int64_t whole(const base::Value& value) { return std::get<std::int64_t>(value); }

/// Kept in the column "by_pin": 0, or the number of the account. A 1 from before accounts were kept there is taken for
/// the first account, for the hours that such a sign-in still lasts.
std::optional<base::AccountId> rests_on(std::int64_t by_pin) {
  if (by_pin == 0) return std::nullopt;
  return base::AccountId{by_pin};
}

}  // namespace

std::optional<std::string> Reader::secret(const std::string& name) const {
  const Values row = session().ask_one("SELECT value FROM secret WHERE name = :v0", {name}, {ValueType::kText});
  if (row.empty()) return std::nullopt;
  return std::get<std::string>(row[0]);
}

std::vector<SignIn> Reader::sign_ins() const {
  std::vector<SignIn> found;
  for (const Values& row : session().ask(
           "SELECT fingerprint, account, page_token, by_pin, shared, fresh_until_us, ends_us FROM sign_in ORDER BY "
           "ends_us, fingerprint",
           {},
           {ValueType::kText, ValueType::kWhole, ValueType::kText, ValueType::kWhole, ValueType::kWhole,
            ValueType::kWhole, ValueType::kWhole})) {
    found.push_back({.fingerprint = std::get<std::string>(row[0]),
                     .account = {whole(row[1])},
                     .page_token = std::get<std::string>(row[2]),
                     .rests_on = rests_on(whole(row[3])),
                     .shared = whole(row[4]) != 0,
                     .fresh_until = {whole(row[5])},
                     .ends = {whole(row[6])}});
  }
  return found;
}

void Writer::keep_secret(const std::string& name, const std::string& value) {
  forget_secret(name);
  session().insert("secret", {"name", "value"}, {name, value});
}

void Writer::forget_secret(const std::string& name) { session().run("DELETE FROM secret WHERE name = :v0", {name}); }

void Writer::keep_sign_in(const SignIn& sign_in) {
  end_sign_in(sign_in.fingerprint);
  session().insert("sign_in", {"fingerprint", "account", "page_token", "by_pin", "shared", "fresh_until_us", "ends_us"},
                   {sign_in.fingerprint, sign_in.account.number, sign_in.page_token,
                    sign_in.rests_on.value_or(base::AccountId{}).number, std::int64_t{sign_in.shared ? 1 : 0},
                    sign_in.fresh_until.us, sign_in.ends.us});
}

void Writer::end_sign_in(const std::string& fingerprint) {
  session().run("DELETE FROM sign_in WHERE fingerprint = :v0", {fingerprint});
}

void Writer::end_sign_ins_of(base::AccountId account) {
  session().run("DELETE FROM sign_in WHERE account = :v0 OR by_pin = :v1", {account.number, account.number});
}

void Writer::end_sign_ins_before(base::Instant now) {
  session().run("DELETE FROM sign_in WHERE ends_us <= :v0", {now.us});
}

}  // namespace throughcure::store
