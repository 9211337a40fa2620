#include "throughcure/service/decision_routes.hpp"

#include <algorithm>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/desk/record_rules.hpp"
#include "throughcure/service/body.hpp"
#include "throughcure/service/opened_look_back.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;
using practice::Decision;

/// A thousand restorations, each with as long a reason as is kept.
constexpr std::size_t kMostBytes = std::size_t{8} << 20;

std::optional<practice::Followup> followup_called(std::string_view word) {
  const auto& words = base::Words<practice::Followup>::words;
  const auto* const at = std::ranges::find(words, word);
  if (at == words.end()) return std::nullopt;
  return static_cast<practice::Followup>(at - words.begin());
}

/// What is wrong with one of the list: its fields are told by their place in it.
class Wrongs {
 public:
  void add(std::size_t index, std::string_view field, std::string what, std::string remedy) {
    add(index, {.file = {}, .field = std::string(field), .what = std::move(what), .remedy = std::move(remedy)});
  }
  void add(std::size_t index, base::Problem problem) {
    problem.field = "decisions." + std::to_string(index) + "." + problem.field;
    problems_.push_back(std::move(problem));
  }
  void refuse_if_any() const { base::refuse_if_any(problems_); }

 private:
  base::Problems problems_;
};

/// What was sent: decisions of which whose they are is not known yet, and the signature.
struct Sent {
  std::vector<Decision> decisions;
  std::string password;
};

Sent sent_in(const Call& call) {
  const Body body(call.request.body);
  Sent sent{.decisions = {}, .password = body.text("password")};
  Wrongs wrongs;
  std::set<std::int64_t> named;
  for (const Body* const one : body.list("decisions")) {
    const std::size_t index = sent.decisions.size();
    const base::RestorationId restoration{one->whole("restoration")};
    const auto what = followup_called(one->text("what"));
    if (!what) wrongs.add(index, "what", "it is none of recall, watch, none", "Name one of them");
    if (!named.insert(restoration.number).second) {
      wrongs.add(index, "restoration", "it is named twice", "Decide about each once");
    }
    sent.decisions.push_back({.look_back = {},
                              .restoration = restoration,
                              .what = what.value_or(practice::Followup::kWatch),
                              .reason = one->text("reason"),
                              .signed_by = member_of(call).person});
  }
  body.finish();
  wrongs.refuse_if_any();
  if (sent.decisions.empty()) base::refuse("decisions", "the list is empty", "Name a restoration at least");
  return sent;
}

/// Each as it is kept, held against the look-back as it stands now.
void complete(std::vector<Decision>& decisions, const OpenedLookBack& all, const store::Reader& reader,
              const std::string& engine, base::Instant now) {
  Wrongs wrongs;
  for (std::size_t i = 0; i < decisions.size(); ++i) {
    Decision& decision = decisions[i];
    const auto part = desk::part_called(reader, all.kept, decision.restoration);
    if (!part || !all.share.sees(decision.restoration)) {
      wrongs.add(i, "restoration", "it is not in this look-back", "Choose one of its list");
      continue;
    }
    decision.look_back = all.kept.id;
    decision.signed_at = now;
    const desk::Outcome* const result = all.result_of(*part);
    if (result != nullptr && result->chance_under_cured) {
      decision.chance_under_cured = result->chance_under_cured;
      decision.engine = engine;
    }
    for (const base::Problem& problem : desk::record_problems(store::table_of<Decision>(), base::values_of(decision))) {
      wrongs.add(i, problem);
    }
  }
  wrongs.refuse_if_any();
}

/// The call as it is known again by: without what it was signed with.
Call without_password(const Call& call) {
  Call bare = call;
  json body = json::parse(call.request.body);
  body.erase("password");
  bare.request.body = body.dump();
  return bare;
}

Response decide(const Call& call, const RecordsDesk& desk, Door& door) {
  Sent sent = sent_in(call);
  sign(call, desk, door, sent.password);
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    const OpenedLookBack all = opened_look_back(writer, call, desk);
    document = once(writer, without_password(call), [&] {
      if (all.kept.record.closed_at || all.kept.record.merged_into) {
        base::refuse("id", "this look-back is closed", "Open it again first");
      }
      complete(sent.decisions, all, writer, desk.settings.engine, desk.settings.now());
      json ids = json::array();
      for (const Decision& decision : sent.decisions) ids.push_back(writer.add(decision).number);
      return json{{"ids", ids}}.dump() + "\n";
    });
  });
  return json_response(201, document);
}

}  // namespace

Route decisions_route(const RecordsDesk& desk, Door& door) {
  Route route{Method::post,
              "/api/look-backs/{id}/decisions",
              Access::clinician,
              "Decides about restorations: all of the list under one signature, or none.",
              on_desk(desk, [desk, &door](const Call& call) { return decide(call, desk, door); }),
              true,
              "NewDecisions",
              "Decided"};
  route.most_body_bytes = kMostBytes;
  return route;
}

}  // namespace throughcure::service
