#include "throughcure/service/look_back_routes.hpp"

#include <algorithm>
#include <memory>

#include <nlohmann/json.hpp>

#include "throughcure/base/given.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_acts.hpp"
#include "throughcure/desk/members.hpp"
#include "throughcure/desk/room_log.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/exchange/case_bundle.hpp"
#include "throughcure/service/body.hpp"
#include "throughcure/service/decision_routes.hpp"
#include "throughcure/service/json_value.hpp"
#include "throughcure/service/laid_out_cases.hpp"
#include "throughcure/service/look_back_course.hpp"
#include "throughcure/service/look_back_rows.hpp"
#include "throughcure/service/opened_look_back.hpp"
#include "throughcure/service/recompute.hpp"
#include "throughcure/service/visible_look_back.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;
using practice::LookBack;
using store::Kept;

json head_of(const Kept<LookBack>& kept, const desk::LookBackShare& share, const desk::SharedCounts& counts,
             const std::string& name) {
  const LookBack& one = kept.record;
  return {{"id", kept.id.number},
          {"light", one.light.number},
          {"name", name},
          {"because", std::get<std::string>(base::Kept<practice::Because>::to(one.because))},
          {"note", or_null(one.note)},
          {"good_until", or_null(one.good_until)},
          {"until", base::instant_text(one.until)},
          {"opened_at", base::instant_text(one.opened_at)},
          {"closed_at", or_null(one.closed_at)},
          {"merged_into", one.merged_into ? json(one.merged_into->number) : json(nullptr)},
          {"light_here", share.sees_light()},
          {"restorations", counts.seen.restorations},
          {"decided", counts.seen.decided},
          {"elsewhere",
           {{"restorations", counts.elsewhere.restorations},
            {"undecided", counts.elsewhere.restorations - counts.elsewhere.decided}}}};
}

Response list(const Call& call, const RecordsDesk& desk) {
  json rows = json::array();
  desk.records->read([&](const store::Reader& reader) {
    const desk::Places places(reader);
    for (const auto& kept :
         reader.list<LookBack>({.where = {}, .order_by = {}, .descending = true, .limit = desk::kAllOfThem})) {
      const desk::LookBackShare share(reader, places, member_of(call), kept);
      if (!share.sees_any()) continue;
      const auto light = reader.get<fleet::LightEntry>(kept.record.light);
      const desk::SharedCounts counts = share.counts(desk::tally_of(reader, kept));
      rows.push_back(head_of(kept, share, counts, light ? light->record.name : ""));
    }
  });
  return json_response(200, json{{"look_backs", rows}}.dump(-1, ' ', false, json::error_handler_t::replace) + "\n");
}

/// What whoever asks does not see, and who decides about it; empty where they see all.
std::string elsewhere_sentence(const desk::LookBackCounts& elsewhere) {
  const std::size_t count = elsewhere.restorations;
  if (count == 0) return {};
  const std::size_t open = count - elsewhere.decided;
  std::string told = count == 1 ? " One more was made at another site: "
                                : " " + std::to_string(count) + " more were made at other sites: ";
  told += "who leads there, or everywhere, decides about " + std::string(count == 1 ? "it" : "them");
  return told + (open == 0 ? ", and has." : "; without a decision: " + std::to_string(open) + ".");
}

std::string sentence_of(const std::string& name, const desk::SharedCounts& counts, bool has_good) {
  const std::size_t count = counts.seen.restorations;
  const std::size_t decided = counts.seen.decided;
  const std::string of = count == 1 ? "One restoration was" : std::to_string(count) + " restorations were";
  const std::string where = counts.elsewhere.restorations == 0 ? "" : " at your site";
  const std::string since = has_good ? " since its last good check." : " before it failed: it had no good check.";
  const std::string open =
      decided == count ? " Every one is decided." : " " + std::to_string(count - decided) + " still want a decision.";
  const std::string others = elsewhere_sentence(counts.elsewhere);
  if (count == 0) return "Nothing on record was cured" + where + " with " + name + since + others;
  return of + " cured" + where + " with " + name + since + open + others;
}

/// Whether the reading that failed still says so; a sentence where it does not.
std::string corrected_since(const OpenedLookBack& all, const desk::Policy& policy) {
  const auto& failed = all.kept.record.reading;
  if (!failed) return {};
  const std::vector<desk::Judged> readings = desk::judged(all.view.record, policy, base::kLatestInstant);
  const auto at = std::ranges::find(readings, *failed, &desk::Judged::id);
  if (at != readings.end() && at->below) return {};
  const std::string corrected = " The reading that failed was corrected since: it is not below the limits any more.";
  const bool withdrawn = all.view.record.light.record.withdrawn_at.has_value();
  return corrected + (withdrawn ? " The light stays withdrawn until it has had its good checks." : "");
}

/// What of several jobs of one person for a look-back only the newest goes on.
std::string drag_of(base::LookBackId look_back) { return "look-back " + std::to_string(look_back.number); }

/// "waiting", "computing" or "done", and how far.
std::pair<std::string, double> progress(const desk::LookBackRanking& ranking, base::LookBackId look_back,
                                        const Recomputing& recomputing, const std::string& person) {
  if (ranking.known() == ranking.with_case()) return {"done", 1};
  const auto job = recomputing.jobs->view_of_drag(drag_of(look_back), person);
  const double share = static_cast<double>(ranking.known()) / static_cast<double>(ranking.with_case());
  return {job && !is_over(job->state) ? "computing" : "waiting", share};
}

/// What whoever asks sees of it, ranked, and how many others there are.
struct SeenRanking {
  desk::LookBackRanking ranking;
  desk::LookBackCounts elsewhere;
};

SeenRanking ranking_of(const store::Reader& reader, const OpenedLookBack& all) {
  std::vector<desk::LookBackPart> parts = desk::parts_of(reader, all.kept);
  const auto others = std::ranges::stable_partition(
      parts, [&](const desk::LookBackPart& part) { return all.share.sees(part.restoration); });
  const auto decided =
      std::ranges::count_if(others, [](const desk::LookBackPart& part) { return part.decision.has_value(); });
  const desk::LookBackCounts elsewhere{.restorations = others.size(), .decided = static_cast<std::size_t>(decided)};
  parts.erase(others.begin(), others.end());
  return {.ranking = desk::LookBackRanking(parts, *all.output, all.limit.shown_mw_cm2, *all.recomputed),
          .elsewhere = elsewhere};
}

base::Instant first_placed(const desk::LookBackRanking& ranking, base::Instant otherwise) {
  for (const desk::Ranked& one : ranking.all()) otherwise = std::min(otherwise, one.part.placed_at);
  return otherwise;
}

Response show(const Call& call, const RecordsDesk& desk, const Recomputing& recomputing) {
  const PageAsked asked = page_asked(call);
  std::string document;
  desk.records->read([&](const store::Reader& reader) {
    const OpenedLookBack all = opened_look_back(reader, call, desk);
    const SeenRanking seen = ranking_of(reader, all);
    const desk::LookBackRanking& ranking = seen.ranking;
    const std::size_t count = ranking.all().size();
    const desk::SharedCounts counts{.seen = {.restorations = count, .decided = count - ranking.counts().front()},
                                    .elsewhere = seen.elsewhere};
    const std::string& name = all.view.record.light.record.name;
    json out = head_of(all.kept, all.share, counts, name);
    const auto [state, share] = progress(ranking, all.kept.id, recomputing, base::given(call.session).person);
    out["revision"] = all.kept.revision;
    out["sentence"] =
        sentence_of(name, counts, all.kept.record.good_until.has_value()) + corrected_since(all, desk::Policy(reader));
    out["state"] = state;
    out["share_done"] = share;
    out["limit_mw_cm2"] = all.limit.shown_mw_cm2;
    out["limit_why"] = all.limit_why;
    out["shown_by"] = or_null(all.shown_by);
    const desk::PrintedHead head = desk::printed_head(reader);
    out["log"] = {{"size", head.size}, {"root", head.root}, {"key", head.key}};
    out.erase("restorations");
    document = out.dump(-1, ' ', false, json::error_handler_t::replace);
    document.back() = ',';
    document += "\"output\":" + course_json(all, first_placed(ranking, all.kept.record.until)) + ",";
    document += page_json(reader, all, ranking, asked) + "}\n";
  });
  return json_response(200, document);
}

Response rows(const Call& call, const RecordsDesk& desk) {
  const PageAsked asked = page_asked(call);
  std::string document;
  desk.records->read([&](const store::Reader& reader) {
    const OpenedLookBack all = opened_look_back(reader, call, desk);
    document = "{" + page_json(reader, all, ranking_of(reader, all).ranking, asked) + "}\n";
  });
  return json_response(200, document);
}

/// What one restoration needs to be worked out again.
struct Order {
  base::RestorationId restoration;
  std::int64_t revision = 0;
  desk::OutputThen output;
  std::vector<desk::OutputAlternative> alternatives;
};

/// The case of that revision: cases are long, so that each is read when its turn comes.
std::optional<std::string> case_of(const Order& order, const RecordsDesk& desk) {
  std::optional<std::string> found;
  desk.records->read([&](const store::Reader& reader) {
    const auto revisions = reader.history<practice::Restoration>(order.restoration);
    const auto at = std::ranges::find(revisions, order.revision, &Kept<practice::Restoration>::revision);
    if (at != revisions.end()) found = at->record.resolved_case;
  });
  return found;
}

UnderCured worked_out(const Order& order, const std::string& document, LaidOutCases& laid_out, const PlanRoom& room,
                      const exchange::CaseFiles& of_today, const base::Running& running) {
  try {
    const exchange::KeptDocument kept = exchange::parse_kept_document(document, "the case that was kept");
    // Older records name files of the data folder, as they are today.
    const exchange::CaseFiles files = kept.files.empty() ? of_today : laid_out.files_of(kept);
    return recompute(kept.document, order.alternatives, files, room.knowledge, running);
  } catch (const base::InputError& error) {
    return {std::nullopt, error.what()};
  } catch (const base::Failure& error) {
    return {std::nullopt, error.what()};
  }
}

/// Keeps each answer when it is there, so that what was done stays when the rest is stopped.
std::string work_through(base::LookBackId look_back, const std::vector<Order>& orders, const std::string& person,
                         const RecordsDesk& desk, const Recomputing& recomputing, const base::Running& running) {
  PlanRoom& room = *recomputing.room;
  LaidOutCases laid_out(*desk.records, room.folder);
  const exchange::CaseFiles of_today = room.files.case_files();
  std::size_t done = 0;
  for (const Order& order : orders) {
    if (running.stop.stop_requested()) throw base::Interrupted();
    const UnderCured found = worked_out(order, base::given(case_of(order, desk)), laid_out, room, of_today,
                                        {.threads = running.threads, .stop = running.stop, .progress = {}});
    const base::Instant now = desk.settings.now();
    desk.records->write({person, now}, [&](store::Writer& writer) {
      writer.add(practice::Recomputed{
          .look_back = look_back,
          .restoration = order.restoration,
          .of_revision = order.revision,
          .output_ln_mean = order.output.ln_mean,
          .output_ln_sd = order.output.ln_sd,
          .chance_under_cured = found.chance,
          .why_not = found.chance ? std::nullopt : std::optional(found.why_not),
          .seed = static_cast<std::int64_t>(kRecomputeSeed),
          .engine = desk.settings.engine,
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
    const SeenRanking seen = ranking_of(reader, all);
    for (const desk::Ranked& one : seen.ranking.all()) {
      if (!one.part.has_case || one.result != nullptr) continue;
      orders->push_back({.restoration = one.part.restoration,
                         .revision = one.part.revision,
                         .output = all.output->at(one.part.placed_at),
                         .alternatives = all.output->alternatives(one.part.placed_at)});
    }
  });
  const std::string person = author_of(call, desk).person;
  const auto job =
      recomputing.jobs->submit({.person = base::given(call.session).person,
                                .drag = drag_of({id}),
                                .work =
                                    [id, orders, person, desk, recomputing](const base::Running& running) {
                                      return work_through({id}, *orders, person, desk, recomputing, running);
                                    },
                                .over = {}});
  if (!job) throw TooSoon(std::chrono::seconds(5));
  return json_response(202, json{{"job", *job}, {"restorations", orders->size()}}.dump() + "\n");
}

/// An act on a look-back; answers with its head.
template <class Act>
Response act(const Call& call, const RecordsDesk& desk, const Act& work) {
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    const base::LookBackId id = own_look_back(writer, call).kept.id;
    document = once(writer, call, [&] {
      work(writer, id);
      const VisibleLookBack now = own_look_back(writer, call);
      const auto light = writer.get<fleet::LightEntry>(now.kept.record.light);
      const json head = head_of(now.kept, now.share, now.share.counts(desk::tally_of(writer, now.kept)),
                                light ? light->record.name : "");
      return head.dump(-1, ' ', false, json::error_handler_t::replace) + "\n";
    });
  });
  return json_response(200, std::move(document));
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
  routes.push_back(
      {Method::get, "/api/look-backs/{id}", see,
       "A look-back with the first page of its restorations, the worst first: what the light gave and what "
       "was decided. Query: limit (100, at most 1000), decision (undecided, recall, watch, none).",
       on_desk(desk, [desk, recomputing](const Call& call) { return show(call, desk, recomputing); }), true, "",
       "LookBackPage"});
  routes.push_back({Method::get, "/api/look-backs/{id}/restorations", see,
                    "A further page of them: after, as the page before gave it. 409 where the ranking has changed.",
                    on(rows), true, "", "LookBackRows"});
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
