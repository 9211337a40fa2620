// Accounts: who may sign in, by what, and what they may do. Secrets are kept as Argon2id hashes
// (practice/password.hpp).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/practice/account.hpp"
#include "throughcure/practice/member.hpp"
#include "throughcure/practice/password.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// Sign-in names are kept and compared in lower case (ASCII letters), without blanks at their ends.
std::string sign_in_name_of(std::string_view typed);

/// Whether the practice has a lead who can sign in.
bool has_begun(const store::Reader& reader);

/// What the first start is told.
struct Beginning {
  std::string name;
  std::string sign_in_name;
  std::string password;
  practice::Site site;
};

/// The first site and its lead, who may do everything everywhere. Throws base::InputError with all that is wrong, or
/// where the practice has begun already. Slow on purpose: it hashes the password.
practice::Member begin(store::Writer& writer, const Beginning& beginning, base::Instant now,
                       const practice::HashCost& cost = {});

/// Someone with an account; nothing where there is none, or they are not active any more.
std::optional<practice::Member> member(const store::Reader& reader, base::AccountId account);

/// The account of a sign-in name.
std::optional<base::AccountId> account_called(const store::Reader& reader, std::string_view sign_in_name);

/// The hash of an account's password, or of its PIN; nothing where it has none.
std::optional<std::string> password_hash(const store::Reader& reader, base::AccountId account);
std::optional<std::string> pin_hash(const store::Reader& reader, base::AccountId account);

/// Sets it, hashed already. Throws base::InputError where there is no such account.
void set_password(store::Writer& writer, base::AccountId account, const std::string& hash, base::Instant now);
/// The same password, hashed anew at another cost: nothing that the log tells of.
void renew_password_hash(store::Writer& writer, base::AccountId account, const std::string& hash);
void set_pin(store::Writer& writer, base::AccountId account, const std::string& hash, base::Instant now);

/// What whoever guesses at somebody's password knows of them.
struct Known {
  std::string sign_in_name;
  std::vector<std::string> names;  ///< their own, and those of the practice's sites
};
/// Throws base::InputError where there is no such account.
Known known_of(const store::Reader& reader, base::AccountId account);

/// What is wrong with a password or a PIN that somebody chose; `field` is what the page calls it.
base::Problems password_field_problems(std::string_view password, const Known& of_them, std::string_view field);
base::Problems pin_field_problems(std::string_view pin, std::string_view field);

struct NewPerson {
  practice::Person person;
  std::string sign_in_name;
};

struct Invited {
  base::PersonId person;
  base::AccountId account;
  std::string code;  ///< to be told to them once; only its fingerprint is kept
  base::Instant code_until;
};

/// A person with an account that nobody can sign in to before the code is used. Throws base::InputError.
Invited invite(store::Writer& writer, const NewPerson& someone, base::Instant now);
/// A new code for an account; its password and PIN serve no more.
Invited invite_again(store::Writer& writer, base::PersonId person, base::Instant now);
/// Another code in the place of one that nobody may have been told. Throws store::Conflict where the person has come in
/// by that one.
Invited another_code(store::Writer& writer, base::AccountId account, base::Instant now);
/// The account that a code says it is of, whether it is or not.
std::optional<base::AccountId> account_in_code(std::string_view code);
/// Whose code that is; nothing where it is unknown, used or too old.
std::optional<base::AccountId> account_of_code(const store::Reader& reader, std::string_view code, base::Instant now);
/// Uses the code up.
void join(store::Writer& writer, base::AccountId account, const std::string& password_hash, base::Instant now);

/// How the people of the practice stand in its list.
struct PersonRow {
  store::Kept<practice::Person> person;
  std::optional<store::Kept<practice::Account>> account;
};
std::vector<PersonRow> people(const store::Reader& reader);

/// A person's role and place changed. Throws base::InputError where that would leave no lead who can sign in.
void change_person(store::Writer& writer, base::PersonId person, std::int64_t revision,
                   const practice::Person& changed);

}  // namespace throughcure::desk
