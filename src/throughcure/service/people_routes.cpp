#include "throughcure/service/people_routes.hpp"

#include <algorithm>
#include <functional>
#include <optional>
#include <string>
#include <utility>

#include <nlohmann/json.hpp>

#include "throughcure/base/given.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/members.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/service/body.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;
using practice::Person;

std::optional<practice::Role> role_called(std::string_view word) {
  const auto& words = base::Words<practice::Role>::words;
  const auto* const at = std::ranges::find(words, word);
  if (at == words.end()) return std::nullopt;
  return static_cast<practice::Role>(at - words.begin());
}

/// What the body says of a person; `active` where it can be changed.
Person person_in(const Body& body, bool has_active) {
  const std::string word = body.text("role");
  const std::optional<practice::Role> role = role_called(word);
  Person person{.name = body.text("name"),
                .role = role.value_or(practice::Role::kViewer),
                .site = {body.whole("site")},
                .active = !has_active || body.yes("active"),
                .everywhere = body.yes("everywhere", false)};
  if (!role) {
    throw base::InputError({{.file = {},
                             .field = "role",
                             .what = "\"" + word + "\" is no role",
                             .remedy = "Name one of viewer, assistant, clinician, lead"}});
  }
  return person;
}

/// A lead of one site gives nobody more than they have themselves, and not elsewhere.
void must_be_theirs_to_give(const practice::Member& lead, const Person& person) {
  if (lead.everywhere) return;
  if (!person.everywhere && person.site == lead.site) return;
  throw desk::Forbidden("You lead one site: people of other sites, or of all, are for one who leads everywhere.");
}

json row_of(const desk::PersonRow& row, bool for_lead) {
  const Person& person = row.person.record;
  json out{{"person", row.person.id.number}, {"revision", row.person.revision}, {"name", person.name},
           {"role", role_word(person.role)}, {"site", person.site.number},      {"active", person.active},
           {"everywhere", person.everywhere}};
  if (!for_lead) return out;
  out["account"] = row.account ? json(row.account->id.number) : json(nullptr);
  out["sign_in_name"] = row.account ? json(row.account->record.sign_in_name) : json(nullptr);
  out["has_password"] = row.account && row.account->record.password_set_at.has_value();
  out["has_pin"] = row.account && row.account->record.pin_set_at.has_value();
  return out;
}

Response list(const Call& call, const RecordsDesk& desk) {
  const practice::Member& member = member_of(call);
  json rows = json::array();
  desk.records->read([&](const store::Reader& reader) {
    for (const desk::PersonRow& row : desk::people(reader)) {
      if (!member.sees(row.person.record.site) && !row.person.record.everywhere) continue;
      rows.push_back(row_of(row, member.role == practice::Role::kLead));
    }
  });
  return json_response(200, json{{"people", rows}}.dump() + "\n");
}

std::string code_document(const desk::Invited& invited) {
  return json{{"person", invited.person.number},
              {"account", invited.account.number},
              {"code", invited.code},
              {"code_until", base::instant_text(invited.code_until)}}
             .dump() +
         "\n";
}

/// Invites once for a key. A code is kept nowhere, and so not with the key either: sent again, because the answer was
/// lost on the way, the same request gives another code in the place of the one that it held.
desk::Invited invited_once(store::Writer& writer, const Call& call, base::Instant now,
                           const std::function<desk::Invited()>& work) {
  std::optional<desk::Invited> invited;
  const std::string kept = once(writer, call, [&] {
    invited = work();
    return json{{"account", invited->account.number}}.dump();
  });
  if (invited) return *std::move(invited);
  return desk::another_code(writer, {json::parse(kept).at("account").get<std::int64_t>()}, now);
}

Response add(const Call& call, const RecordsDesk& desk) {
  const Body body(call.request.body);
  desk::NewPerson someone{.person = person_in(body, false), .sign_in_name = body.text("sign_in_name")};
  body.finish();
  must_be_theirs_to_give(member_of(call), someone.person);
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    const base::Instant now = desk.settings.now();
    const desk::Invited invited = invited_once(writer, call, now, [&] { return desk::invite(writer, someone, now); });
    // Asked again later, the person may have become somebody whose code is not theirs to give.
    must_be_theirs_to_give(member_of(call), base::given(writer.get<Person>(invited.person)).record);
    document = code_document(invited);
  });
  return json_response(201, document);
}

store::Kept<Person> person_at(const store::Reader& reader, const Call& call) {
  const auto kept = reader.get<Person>({number_in_path(call, "person")});
  if (!kept || !member_of(call).sees(kept->record.site)) throw desk::Missing("There is no such person here.");
  return *kept;
}

Response code(const Call& call, const RecordsDesk& desk, Door& door) {
  desk::Invited invited;
  std::string sign_in_name;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    const store::Kept<Person> person = person_at(writer, call);
    must_be_theirs_to_give(member_of(call), person.record);
    if (person.id == member_of(call).person) {
      throw desk::Forbidden("For yourself: set a new password under your name instead.");
    }
    const base::Instant now = desk.settings.now();
    invited = invited_once(writer, call, now, [&] { return desk::invite_again(writer, person.id, now); });
    sign_in_name = base::given(writer.get<practice::Account>(invited.account)).record.sign_in_name;
  });
  desk.sessions->close_all(invited.account);
  open_again(door, invited.account, sign_in_name);
  return json_response(201, code_document(invited));
}

Response change(const Call& call, const RecordsDesk& desk) {
  const Body body(call.request.body);
  const Person changed = person_in(body, true);
  body.finish();
  const std::int64_t revision = revision_in_query(call);
  std::optional<practice::Member> after;
  base::AccountId account;
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    const store::Kept<Person> before = person_at(writer, call);
    must_be_theirs_to_give(member_of(call), before.record);
    must_be_theirs_to_give(member_of(call), changed);
    document = once(writer, call, [&] {
      desk::change_person(writer, before.id, revision, changed);
      const std::int64_t now = base::given(writer.get<Person>(before.id)).revision;
      return json{{"person", before.id.number}, {"revision", now}}.dump() + "\n";
    });
    // As they stand now, also where this was answered before.
    const auto accounts = writer.list<practice::Account>(
        {.where = {{"person", store::Compare::kEqual, before.id.number}}, .order_by = {}});
    if (accounts.empty()) return;
    account = accounts.front().id;
    after = desk::member(writer, account);
    if (!after) writer.end_sign_ins_of(account);
  });
  if (after) {
    desk.sessions->refresh(*after);
  } else if (account.number != 0) {
    desk.sessions->close_all(account);
  }
  return json_response(200, std::move(document));
}

}  // namespace

std::vector<Route> people_routes(const RecordsDesk& desk, Door& door) {
  const auto on = [&](auto work) { return on_desk(desk, [desk, work](const Call& call) { return work(call, desk); }); };
  std::vector<Route> routes;
  routes.push_back({Method::get, "/api/people", Access::signed_in,
                    "The people of one's site; a lead also sees how they sign in.", on(list), true, "", "People"});
  routes.push_back({Method::post, "/api/people", Access::lead,
                    "Adds a person, and gives the code by which they come in.", on(add), true, "NewPerson", "Invited"});
  routes.push_back({Method::post, "/api/people/{person}/code", Access::lead,
                    "A new code for a person, whose password and PIN serve no more.",
                    on_desk(desk, [desk, &door](const Call& call) { return code(call, desk, door); }), true, "",
                    "Invited"});
  routes.push_back({Method::put, "/api/people/{person}", Access::lead, "Changes what a person may do.", on(change),
                    true, "ChangedPerson", "ChangedPersonAnswer", "revision"});
  return routes;
}

}  // namespace throughcure::service
