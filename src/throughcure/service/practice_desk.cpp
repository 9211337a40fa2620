#include "throughcure/service/practice_desk.hpp"

#include <algorithm>
#include <iterator>

#include "throughcure/base/hex.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/audit_log.hpp"
#include "throughcure/desk/members.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/desk/verdict_policy.hpp"
#include "throughcure/practice/random_bytes.hpp"
#include "throughcure/service/attachment_routes.hpp"
#include "throughcure/service/audit_routes.hpp"
#include "throughcure/service/check_routes.hpp"
#include "throughcure/service/fleet_routes.hpp"
#include "throughcure/service/import_routes.hpp"
#include "throughcure/service/laid_out_cases.hpp"
#include "throughcure/service/look_back_routes.hpp"
#include "throughcure/service/people_routes.hpp"
#include "throughcure/service/policy_routes.hpp"
#include "throughcure/service/print_routes.hpp"
#include "throughcure/service/record_routes.hpp"
#include "throughcure/service/restoration_routes.hpp"

namespace throughcure::service {

namespace {

constexpr unsigned kThreads = 4;  // that may wait for the database
// Checks come from many phones at once: as many as this are committed together, and none waits behind a long list.
constexpr unsigned kCheckThreads = 16;
constexpr std::chrono::hours kTicketLasts{30 * 24};
constexpr const char* kTicketSecret = "ticket key";

TicketKey ticket_key(store::Store& records, base::Instant now) {
  std::optional<std::string> kept;
  records.read([&](const store::Reader& reader) { kept = reader.secret(kTicketSecret); });
  if (kept) {
    if (const auto key = base::from_hex<std::tuple_size_v<TicketKey>>(*kept)) return *key;
  }
  TicketKey key{};
  practice::fill_with_random(key);
  records.write({"program", now}, [&](store::Writer& writer) { writer.keep_secret(kTicketSecret, base::hex(key)); });
  return key;
}

}  // namespace

PracticeDesk::PracticeDesk(const store::Place& place, const std::function<base::Instant()>& now,
                           const practice::HashCost& cost)
    : now_(now),
      records_(place),
      ticket_key_(ticket_key(records_, now())),
      threads_(kThreads),
      check_threads_(kCheckThreads),
      imports_(std::make_unique<ImportDrafts>()) {
  door_.cost = cost;
  // Prints carry the key that signs the log from the first one on.
  (void)desk::signing_seed(records_, now_());
  records_.read([&](const store::Reader& reader) {
    if (!desk::has_begun(reader)) door_.first_code = random_token().substr(0, 12);
    for (const store::SignIn& kept : reader.sign_ins()) {
      if (kept.ends <= now_() || (kept.rests_on && !desk::member(reader, *kept.rests_on))) continue;
      if (const auto member = desk::member(reader, kept.account)) sessions_.take_in(kept, *member);
    }
  });
}

PracticeDesk::~PracticeDesk() { close(); }

void PracticeDesk::close() {
  closing_ = true;
  import_thread_.close();
  check_threads_.close();
  threads_.close();
}

void PracticeDesk::warm_up() {
  const auto read_all = [this] {
    // A light each: what comes in meanwhile is not kept waiting, nor a database's log from being cut short.
    std::vector<base::LightId> all;
    records_.read([&](const store::Reader& reader) { all = desk::Places(reader).lights(); });
    for (const base::LightId light : all) {
      records_.read([&](const store::Reader& reader) { desk::LightsNow(reader, &lights_).line(light, now_()); });
      if (closing_) return;
    }
  };
  threads_.post(read_all, [](std::string_view) {});  // whoever asks for a page is told
}

void PracticeDesk::complete(SiteSettings& settings) {
  settings.now = now_;
  settings.ticket = [this](const Session& session) {
    return ticket(session.member.account, now_() + kTicketLasts, ticket_key_);
  };
}

PolicyInForce PracticeDesk::policy_in_force(const PlanRoom& room) {
  return [this, delivered = room.knowledge.priors.policy] {
    cure::Policy policy;
    records_.read([&](const store::Reader& reader) { policy = desk::verdict_policy(desk::Policy(reader), delivered); });
    return policy;
  };
}

std::vector<Route> PracticeDesk::routes(const SiteSettings& settings, const std::shared_ptr<PlanRoom>& room,
                                        Jobs& jobs) {
  LaidOutCases::sweep(room->folder);
  const RecordsDesk desk{.records = &records_,
                         .sessions = &sessions_,
                         .threads = &threads_,
                         .check_threads = &check_threads_,
                         .lights = &lights_,
                         .backups = &backups_,
                         .settings = settings};
  std::vector<Route> all = door_routes(desk, door_);
  const auto add = [&](std::vector<Route> more) { std::ranges::move(more, std::back_inserter(all)); };
  add(people_routes(desk, door_));
  add(policy_routes(desk));
  add(check_routes(desk, ticket_key_));
  add(fleet_routes(desk));
  add(look_back_routes(desk, door_, {.room = room, .jobs = &jobs}));
  add(restoration_routes(desk, room, jobs));
  add(chart_search_routes(desk, searches_));
  add(print_routes(desk));
  add(audit_routes(desk));
  add(attachment_routes(desk));
  RecordsDesk import_desk = desk;
  import_desk.threads = &import_thread_;
  add(import_routes(import_desk, *imports_));
  add(record_routes(desk));
  return all;
}

}  // namespace throughcure::service
