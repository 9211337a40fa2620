#include "throughcure/service/look_back_routes.hpp"

#include <algorithm>
#include <map>
#include <memory>

#include <nlohmann/json.hpp>

#include "throughcure/base/given.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_acts.hpp"
#include "throughcure/desk/members.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/exchange/case_bundle.hpp"
#include "throughcure/service/body.hpp"
#include "throughcure/service/decision_routes.hpp"
#include "throughcure/service/laid_out_cases.hpp"
#include "throughcure/service/opened_look_back.hpp"
#include "throughcure/service/recompute.hpp"
#include "throughcure/service/visible_look_back.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;
using practice::LookBack;
using store::Kept;

json instant(const std::optional<base::Instant>& at) { return at ? json(base::instant_text(*at)) : json(nullptr); }

template <class Value>
json or_null(const std::optional<Value>& value) {
  return value ? json(*value) : json(nullptr);
}

desk::LookBackCounts counts_of(const std::vector<desk::LookBackPart>& parts) {
  const auto decided =
      std::ranges::count_if(parts, [](const desk::LookBackPart& part) { return part.decision.has_value(); });
  return {.restorations = parts.size(), .decided = static_cast<std::size_t>(decided)};
}

json head_of(const Kept<LookBack>& kept, const desk::LookBackCounts& counts, const std::string& name) {
  const LookBack& one = kept.record;
  return {{"id", kept.id.number},
          {"light", one.light.number},
          {"name", name},
          {"because", std::get<std::string>(base::Kept<practice::Because>::to(one.because))},
          {"note", or_null(one.note)},
          {"good_until", instant(one.good_until)},
          {"until", base::instant_text(one.until)},
          {"opened_at", base::instant_text(one.opened_at)},
          {"closed_at", instant(one.closed_at)},
          {"merged_into", one.merged_into ? json(one.merged_into->number) : json(nullptr)},
          {"restorations", counts.restorations},
          {"decided", counts.decided}};
}

Response list(const Call& call, const RecordsDesk& desk) {
  json rows = json::array();
  desk.records->read([&](const store::Reader& reader) {
    const desk::Places places(reader);
    for (const auto& kept :
         reader.list<LookBack>({.where = {}, .order_by = {}, .descending = true, .limit = desk::kAllOfThem})) {
      if (!member_of(call).sees(places.site_of(kept.record.light))) continue;
      const auto light = reader.get<fleet::LightEntry>(kept.record.light);
      rows.push_back(head_of(kept, desk::counts_of(reader, kept), light ? light->record.name : ""));
    }
  });
  return json_response(200, json{{"look_backs", rows}}.dump(-1, ' ', false, json::error_handler_t::replace) + "\n");
}

/// A restoration in doubt, with what the list needs to rank it.
struct InDoubt {
  const desk::LookBackPart* part = nullptr;
  desk::OutputThen output;
  double chance_too_weak = 0;
  const practice::Recomputed* result = nullptr;  ///< null: not known as things stand now
};

/// The worst first: by the chance that it was under-cured, and where that is not known by that of too weak a light.
void rank(std::vector<InDoubt>& all) {
  std::ranges::sort(all, {}, [](const InDoubt& one) {
    const double doubt =
        one.result == nullptr ? one.chance_too_weak : one.result->chance_under_cured.value_or(one.chance_too_weak);
    return std::pair(-doubt, one.part->restoration.id);
  });
}

/// Names of people, each asked for once.
class Names {
 public:
  explicit Names(const store::Reader& reader) : reader_(&reader) {}
  const std::string& of(base::PersonId person) {
    const auto [at, is_new] = names_.try_emplace(person.number);
    if (is_new) at->second = name_of(*reader_, std::to_string(person.number));
    return at->second;
  }

 private:
  const store::Reader* reader_;
  std::map<std::int64_t, std::string> names_;
};

std::string text_of(const json& value) { return value.dump(-1, ' ', false, json::error_handler_t::replace); }

std::string row_of(const InDoubt& one, Names& names) {
  const Kept<practice::Restoration>& kept = one.part->restoration;
  const practice::Restoration& made = kept.record;
  json decision = nullptr;
  if (one.part->decision) {
    const practice::Decision& decided = one.part->decision->record;
    decision = {{"id", one.part->decision->id.number},
                {"what", std::get<std::string>(base::Kept<practice::Followup>::to(decided.what))},
                {"reason", decided.reason},
                {"signed_by_name", names.of(decided.signed_by)},
                {"signed_at", base::instant_text(decided.signed_at)}};
  }
  // There may be very many: each is put together as text, since an object of so many fields takes longer than its
  // record.
  std::string row;
  const auto add = [&](const char* field, const json& value) {
    row += (row.empty() ? "{\"" : ",\"") + std::string(field) + "\":" + text_of(value);
  };
  const fleet::OutputSpread& output = one.output.spread;
  add("chance_too_weak", one.chance_too_weak);
  add("chance_under_cured", one.result == nullptr ? json(nullptr) : or_null(one.result->chance_under_cured));
  add("chart", made.chart);
  add("decision", decision);
  add("has_case", one.part->has_case);
  add("id", kept.id.number);
  add("lot", made.lot);
  add("material", made.material);
  row += ",\"output\":{\"p10\":" + text_of(output.p10) + ",\"p50\":" + text_of(output.p50) +
         ",\"p90\":" + text_of(output.p90) + "}";
  add("placed_at", base::instant_text(made.placed_at));
  add("placed_by_name", names.of(made.placed_by));
  add("probability_then", or_null(made.probability));
  add("revision", kept.revision);
  add("surfaces", made.surfaces);
  add("tooth", made.tooth);
  add("why_not", one.result == nullptr ? json(nullptr) : or_null(one.result->why_not));
  return row + "}";
}

std::string sentence_of(const std::string& name, std::size_t count, std::size_t decided, bool has_good) {
  const std::string of = count == 1 ? "One restoration was" : std::to_string(count) + " restorations were";
  const std::string since = has_good ? " since its last good check." : " before it failed: it had no good check.";
  const std::string open =
      decided == count ? " Every one is decided." : " " + std::to_string(count - decided) + " still want a decision.";
  if (count == 0) return "Nothing on record was cured with " + name + since;
  return of + " cured with " + name + since + open;
}

/// "waiting", "computing" or "done", and how far.
std::pair<std::string, double> progress(const std::vector<InDoubt>& all, base::LookBackId look_back,
                                        const Recomputing& recomputing, const std::string& person) {
  std::size_t wanted = 0;
  std::size_t known = 0;
  for (const InDoubt& one : all) {
    if (!one.part->has_case) continue;
    ++wanted;
    if (one.result != nullptr) ++known;
  }
  if (known == wanted) return {"done", 1};
  const auto job = recomputing.jobs->view(recomputing.looking_back->job_of(look_back.number), person);
  const double share = static_cast<double>(known) / static_cast<double>(wanted);
  return {job && !is_over(job->state) ? "computing" : "waiting", share};
}

Response show(const Call& call, const RecordsDesk& desk, const Recomputing& recomputing) {
  std::string document;
  desk.records->read([&](const store::Reader& reader) {
    const OpenedLookBack all = opened_look_back(reader, call, desk);
    const std::vector<desk::LookBackPart> parts = desk::parts_of(reader, all.kept);
    std::vector<InDoubt> in_doubt;
    for (const desk::LookBackPart& part : parts) {
      const base::Instant then = part.restoration.record.placed_at;
      const desk::OutputThen output = all.output->at(then);
      in_doubt.push_back({.part = &part,
                          .output = output,
                          .chance_too_weak = all.output->chance_below(all.need_mw_cm2, then),
                          .result = all.recomputed->find(part.restoration, output)});
    }
    rank(in_doubt);
    Names names(reader);
    std::string rows = "[";
    for (const InDoubt& one : in_doubt) {
      rows += rows.size() > 1 ? "," : "";
      rows += row_of(one, names);
    }
    rows += "]";
    const std::string& name = all.view.record.light.record.name;
    const desk::LookBackCounts counts = counts_of(parts);
    json out = head_of(all.kept, counts, name);
    const auto [state, share] = progress(in_doubt, all.kept.id, recomputing, base::given(call.session).person);
    out["revision"] = all.kept.revision;
    out["sentence"] = sentence_of(name, counts.restorations, counts.decided, all.kept.record.good_until.has_value());
    out["state"] = state;
    out["share_done"] = share;
    out["step_weight"] = or_null(all.output->step_weight());
    out["need_mw_cm2"] = all.need_mw_cm2;
    out.erase("restorations");
    document = out.dump(-1, ' ', false, json::error_handler_t::replace);
    document.back() = ',';
    document += R"("restorations":)" + rows + "}\n";
  });
  return json_response(200, document);
}

/// What one restoration needs to be worked out again.
struct Order {
  base::LookBackId look_back;
  base::RestorationId restoration;
  std::int64_t revision = 0;
  std::string document;
  desk::OutputThen output;
};

UnderCured worked_out(const Order& order, LaidOutCases& laid_out, const PlanRoom& room,
                      const exchange::CaseFiles& of_today, const base::Running& running) {
  try {
    const exchange::KeptDocument kept = exchange::parse_kept_document(order.document, "the case that was kept");
    // Older records name files of the data folder, as they are today.
    const exchange::CaseFiles files = kept.files.empty() ? of_today : laid_out.files_of(kept);
    return recompute(kept.document, order.output, files, room.knowledge, running);
  } catch (const base::InputError& error) {
    return {std::nullopt, error.what()};
  } catch (const base::Failure& error) {
    return {std::nullopt, error.what()};
  }
}

/// Keeps each answer when it is there, so that what was done stays when the rest is stopped.
std::string work_through(const std::vector<Order>& orders, const std::string& person, const RecordsDesk& desk,
                         const Recomputing& recomputing, const base::Running& running) {
  PlanRoom& room = *recomputing.room;
  LaidOutCases laid_out(*desk.records, room.folder);
  const exchange::CaseFiles of_today = room.files.case_files();
  std::size_t done = 0;
  for (const Order& order : orders) {
    if (running.stop.stop_requested()) throw base::Interrupted();
    const UnderCured found =
        worked_out(order, laid_out, room, of_today, {.threads = running.threads, .stop = running.stop, .progress = {}});
    const base::Instant now = desk.settings.now();
    desk.records->write({person, now}, [&](store::Writer& writer) {
      writer.add(practice::Recomputed{
          .look_back = order.look_back,
          .restoration = order.restoration,
          .of_revision = order.revision,
          .output_ln_mean = order.output.ln_mean,
          .output_ln_sd = order.output.ln_sd,
          .chance_under_cured = found.chance,
          .why_not = found.chance ? std::nullopt : std::optional(found.why_not),
          .seed = static_cast<std::int64_t>(kRecomputeSeed),
          .engine = desk.settings.version,
          .at = now,
      });
    });
    ++done;
    if (running.progress) {
      running.progress(static_cast<double>(done) / static_cast<double>(orders.size()), "Recomputing");
    }
  }
  return R"({"computed":)" + std::to_string(done) + "}";
}

Response compute(const Call& call, const RecordsDesk& desk, const Recomputing& recomputing) {
  const auto orders = std::make_shared<std::vector<Order>>();
  std::int64_t id = 0;
  desk.records->read([&](const store::Reader& reader) {
    const OpenedLookBack all = opened_look_back(reader, call, desk);
    id = all.kept.id.number;
    for (const desk::LookBackPart& part : desk::parts_of(reader, all.kept)) {
      if (!part.has_case || all.result_of(part.restoration) != nullptr) continue;
      const auto made = base::given(reader.get<practice::Restoration>(part.restoration.id)).record;
      orders->push_back({.look_back = all.kept.id,
                         .restoration = part.restoration.id,
                         .revision = part.restoration.revision,
                         .document = base::given(made.resolved_case),
                         .output = all.output->at(made.placed_at)});
    }
  });
  const std::string person = author_of(call, desk).person;
  const auto job = recomputing.jobs->submit(
      {.person = base::given(call.session).person,
       .drag = "look-back " + std::to_string(id),
       .work = [orders, person, desk, recomputing](
                   const base::Running& running) { return work_through(*orders, person, desk, recomputing, running); },
       .over = {}});
  if (!job) throw TooSoon(std::chrono::seconds(5));
  recomputing.looking_back->computing(id, *job);
  return json_response(202, json{{"job", *job}, {"restorations", orders->size()}}.dump() + "\n");
}

/// An act on a look-back; answers with its head.
template <class Act>
Response act(const Call& call, const RecordsDesk& desk, const Act& work) {
  json document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    const Kept<LookBack> kept = visible_look_back(writer, call);
    work(writer, kept.id);
    const auto light = writer.get<fleet::LightEntry>(kept.record.light);
    document = head_of(visible_look_back(writer, call), desk::counts_of(writer, kept), light ? light->record.name : "");
  });
  return json_response(200, document.dump(-1, ' ', false, json::error_handler_t::replace) + "\n");
}

Response close(const Call& call, const RecordsDesk& desk) {
  return act(call, desk, [&](store::Writer& writer, base::LookBackId id) {
    desk::close_look_back(writer, id, desk.settings.now());
  });
}

Response reopen(const Call& call, const RecordsDesk& desk) {
  return act(call, desk, [](store::Writer& writer, base::LookBackId id) { desk::reopen_look_back(writer, id); });
}

Response merge(const Call& call, const RecordsDesk& desk) {
  const Body body(call.request.body);
  const base::LookBackId into{body.whole("into")};
  body.finish();
  return act(call, desk, [&](store::Writer& writer, base::LookBackId id) { desk::merge_look_back(writer, id, into); });
}

Response open_one(const Call& call, const RecordsDesk& desk) {
  const Body body(call.request.body);
  const base::LightId light{body.whole("light")};
  const std::string because = body.text("note");
  body.finish();
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    if (!member_of(call).sees(desk::Places(writer).site_of(light))) {
      throw desk::Missing("There is no light of that number here.");
    }
    document = once(writer, call, [&] {
      const auto made = desk::withdraw_light(writer, light, because, member_of(call).person, desk.settings.now());
      return json{{"id", made.number}}.dump() + "\n";
    });
  });
  return json_response(201, document);
}

}  // namespace

std::vector<Route> look_back_routes(const RecordsDesk& desk, Door& door, const Recomputing& recomputing) {
  const auto on = [&](auto work) { return on_desk(desk, [desk, work](const Call& call) { return work(call, desk); }); };
  std::vector<Route> routes;
  const Access see = Access::clinician;
  routes.push_back(
      {Method::get, "/api/look-backs", see, "The look-backs, newest first.", on(list), true, "", "LookBacks"});
  routes.push_back({Method::post, "/api/look-backs", see, "Withdraws a light for cause and opens a look-back.",
                    on(open_one), true, "NewLookBack", "Written"});
  routes.push_back({Method::get, "/api/look-backs/{id}", see,
                    "A look-back: its restorations, the worst first, with what the light gave and what was decided.",
                    on_desk(desk, [desk, recomputing](const Call& call) { return show(call, desk, recomputing); }),
                    true, "", "LookBackPage"});
  routes.push_back({Method::post, "/api/look-backs/{id}/compute", see,
                    "Starts working out again what each restoration with a kept case came to.",
                    on_desk(desk, [desk, recomputing](const Call& call) { return compute(call, desk, recomputing); }),
                    true, "", "Started"});
  routes.push_back(decisions_route(desk, door));
  routes.push_back({Method::post, "/api/look-backs/{id}/close", see, "Closes it when every restoration is decided.",
                    on(close), true, "", "LookBackHead"});
  routes.push_back(
      {Method::post, "/api/look-backs/{id}/reopen", see, "Opens it again.", on(reopen), true, "", "LookBackHead"});
  routes.push_back({Method::post, "/api/look-backs/{id}/merge", see, "Merges it into another one of the same light.",
                    on(merge), true, "Merge", "LookBackHead"});
  return routes;
}

}  // namespace throughcure::service
