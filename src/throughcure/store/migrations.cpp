#include "throughcure/store/migrations.hpp"

#include <array>
#include <string>

#include "throughcure/base/problem.hpp"

namespace throughcure::store {

namespace {

// A table of records has its revisions, and says which is the newest. Numbers of other records are checked by the
// writer.
constexpr std::string_view kRecords = R"(
CREATE TABLE site (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT NULL,
  name {text} NOT NULL, time_zone {text} NOT NULL, PRIMARY KEY (id, revision)){strict};
CREATE TABLE room (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT NULL,
  site {whole} NOT NULL, name {text} NOT NULL, PRIMARY KEY (id, revision)){strict};
CREATE TABLE person (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT NULL,
  name {text} NOT NULL, role {text} NOT NULL, site {whole} NOT NULL, active {whole} NOT NULL,
  PRIMARY KEY (id, revision)){strict};
CREATE TABLE setting (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT NULL,
  name {text} NOT NULL, number {real} NOT NULL, origin {text} NOT NULL, source {text} NOT NULL,
  PRIMARY KEY (id, revision)){strict};
CREATE TABLE light (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT NULL,
  room {whole} NOT NULL, name {text} NOT NULL, serial {text} NOT NULL, claimed_mw_cm2 {real}, approval_number {text},
  approved_by {text}, bought_in {text}, warranty_until {whole}, accepted_at {whole}, withdrawn_at {whole},
  PRIMARY KEY (id, revision)){strict};
CREATE TABLE tip (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT NULL,
  light {whole} NOT NULL, name {text} NOT NULL, diameter_mm {real} NOT NULL, PRIMARY KEY (id, revision)){strict};
CREATE TABLE radiometer (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL,
  change {whole} NOT NULL, name {text} NOT NULL, serial {text} NOT NULL, aperture_mm {real}, certificate_until {whole},
  PRIMARY KEY (id, revision)){strict};
CREATE TABLE reading (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT NULL,
  light {whole} NOT NULL, tip {whole} NOT NULL, radiometer {whole} NOT NULL, room {whole} NOT NULL,
  taken_by {whole} NOT NULL, taken_at {whole} NOT NULL, arrived_at {whole} NOT NULL, mode {text} NOT NULL,
  shown_mw_cm2 {real} NOT NULL, second_of_press {real}, barrier_on {whole} NOT NULL, tip_clean {whole} NOT NULL,
  battery {real}, note {text}, PRIMARY KEY (id, revision)){strict};
CREATE TABLE restoration (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL,
  change {whole} NOT NULL, chart {text} NOT NULL, tooth {text} NOT NULL, surfaces {text} NOT NULL,
  placed_at {whole} NOT NULL, placed_by {whole} NOT NULL, light {whole} NOT NULL, tip {whole} NOT NULL,
  material {text} NOT NULL, lot {text} NOT NULL, barrier_pass {real}, resolved_case {text}, probability {real},
  seed {whole}, engine {text}, note {text}, PRIMARY KEY (id, revision)){strict};
CREATE UNIQUE INDEX site_newest ON site (id) WHERE newest = 1;
CREATE UNIQUE INDEX room_newest ON room (id) WHERE newest = 1;
CREATE UNIQUE INDEX person_newest ON person (id) WHERE newest = 1;
CREATE UNIQUE INDEX setting_newest ON setting (id) WHERE newest = 1;
CREATE UNIQUE INDEX light_newest ON light (id) WHERE newest = 1;
CREATE UNIQUE INDEX tip_newest ON tip (id) WHERE newest = 1;
CREATE UNIQUE INDEX radiometer_newest ON radiometer (id) WHERE newest = 1;
CREATE UNIQUE INDEX reading_newest ON reading (id) WHERE newest = 1;
CREATE UNIQUE INDEX restoration_newest ON restoration (id) WHERE newest = 1;
CREATE INDEX reading_of_light ON reading (light, taken_at) WHERE newest = 1;
CREATE INDEX restoration_of_light ON restoration (light, placed_at) WHERE newest = 1;
CREATE TABLE change_log (number {whole} NOT NULL PRIMARY KEY, at_us {whole} NOT NULL, person {text} NOT NULL,
  kind {text} NOT NULL, record {text} NOT NULL, leaf {text} NOT NULL, leaf_hash {text} NOT NULL){strict};
CREATE INDEX change_of_record ON change_log (kind, record);
CREATE TABLE log_salt (number {whole} NOT NULL, side {text} NOT NULL, field {text} NOT NULL, salt {text} NOT NULL,
  PRIMARY KEY (number, side, field)){strict};
CREATE TABLE log_edge (size {whole} NOT NULL, subtrees {text} NOT NULL){strict};
INSERT INTO log_edge (size, subtrees) VALUES (0, '');
CREATE TABLE answer (person {text} NOT NULL, request_key {text} NOT NULL, request_hash {text} NOT NULL,
  reply {text} NOT NULL, at_us {whole} NOT NULL, PRIMARY KEY (person, request_key)){strict};
)";

// People who sign in, attached files, materials and their tests, look-backs; what a check looks at besides the number.
// What is no record: secrets, and who is signed in, which are overwritten and never logged.
constexpr std::string_view kSignInAndLookBack = R"(
CREATE TABLE account (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT
  NULL, person {whole} NOT NULL, sign_in_name {text} NOT NULL, password_set_at {whole}, pin_set_at {whole}, PRIMARY
  KEY (id, revision)){strict};
CREATE TABLE attachment (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT
  NULL, belongs_to {text} NOT NULL, record {whole} NOT NULL, about {text} NOT NULL, name {text} NOT NULL, media {text}
  NOT NULL, size {whole} NOT NULL, sha256 {text} NOT NULL, PRIMARY KEY (id, revision)){strict};
CREATE TABLE barrier (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT
  NULL, name {text} NOT NULL, pass {real} NOT NULL, pass_sd {real}, source {text} NOT NULL, PRIMARY KEY (id,
  revision)){strict};
CREATE TABLE certificate (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT
  NULL, radiometer {whole} NOT NULL, number {text} NOT NULL, issued_by {text} NOT NULL, calibrated_at {whole} NOT
  NULL, valid_until {whole} NOT NULL, expanded_uncertainty {real}, PRIMARY KEY (id, revision)){strict};
CREATE TABLE servicing (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT
  NULL, light {whole} NOT NULL, at {whole} NOT NULL, told_by {whole} NOT NULL, what {text} NOT NULL, room {whole},
  note {text}, PRIMARY KEY (id, revision)){strict};
CREATE TABLE material (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT
  NULL, name {text} NOT NULL, shade {text} NOT NULL, ifu_seconds {real}, ifu_increment_mm {real}, file {text}, PRIMARY
  KEY (id, revision)){strict};
CREATE TABLE lot (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT NULL,
  material {whole} NOT NULL, number {text} NOT NULL, expires_at {whole}, PRIMARY KEY (id, revision)){strict};
CREATE TABLE scrape (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT NULL,
  material {whole} NOT NULL, lot {whole}, light {whole} NOT NULL, at {whole} NOT NULL, done_by {whole} NOT NULL,
  seconds {real} NOT NULL, left_mm {real} NOT NULL, mould_diameter_mm {real} NOT NULL, mould_of_metal {whole} NOT
  NULL, PRIMARY KEY (id, revision)){strict};
CREATE TABLE disc (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT NULL,
  material {whole} NOT NULL, lot {whole}, light {whole} NOT NULL, radiometer {whole} NOT NULL, at {whole} NOT NULL,
  done_by {whole} NOT NULL, thickness_mm {real} NOT NULL, through_mw_cm2 {real} NOT NULL, bare_mw_cm2 {real} NOT NULL,
  PRIMARY KEY (id, revision)){strict};
CREATE TABLE lookback (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT
  NULL, light {whole} NOT NULL, because {text} NOT NULL, reading {whole}, good_until {whole}, until {whole} NOT NULL,
  opened_at {whole} NOT NULL, opened_by {whole} NOT NULL, closed_at {whole}, merged_into {whole}, note {text}, PRIMARY
  KEY (id, revision)){strict};
CREATE TABLE decision (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT
  NULL, look_back {whole} NOT NULL, restoration {whole} NOT NULL, what {text} NOT NULL, reason {text} NOT NULL,
  chance_under_cured {real}, engine {text}, signed_by {whole} NOT NULL, signed_at {whole} NOT NULL, PRIMARY KEY (id,
  revision)){strict};
CREATE UNIQUE INDEX account_newest ON account (id) WHERE newest = 1;
CREATE UNIQUE INDEX attachment_newest ON attachment (id) WHERE newest = 1;
CREATE UNIQUE INDEX barrier_newest ON barrier (id) WHERE newest = 1;
CREATE UNIQUE INDEX certificate_newest ON certificate (id) WHERE newest = 1;
CREATE UNIQUE INDEX servicing_newest ON servicing (id) WHERE newest = 1;
CREATE UNIQUE INDEX material_newest ON material (id) WHERE newest = 1;
CREATE UNIQUE INDEX lot_newest ON lot (id) WHERE newest = 1;
CREATE UNIQUE INDEX scrape_newest ON scrape (id) WHERE newest = 1;
CREATE UNIQUE INDEX disc_newest ON disc (id) WHERE newest = 1;
CREATE UNIQUE INDEX lookback_newest ON lookback (id) WHERE newest = 1;
CREATE UNIQUE INDEX decision_newest ON decision (id) WHERE newest = 1;
CREATE INDEX attachment_of_record ON attachment (belongs_to, record) WHERE newest = 1;
CREATE INDEX attachment_by_hash ON attachment (sha256);
CREATE INDEX servicing_of_light ON servicing (light, at) WHERE newest = 1;
CREATE INDEX decision_of_look_back ON decision (look_back, restoration) WHERE newest = 1;
ALTER TABLE room ADD COLUMN radiometer {whole};
ALTER TABLE room ADD COLUMN check_every_days {whole};
ALTER TABLE person ADD COLUMN everywhere {whole} NOT NULL DEFAULT 0;
ALTER TABLE light ADD COLUMN refused_because {text};
ALTER TABLE light ADD COLUMN check_mode {text};
ALTER TABLE light ADD COLUMN battery {text};
ALTER TABLE light ADD COLUMN file {text};
ALTER TABLE radiometer ADD COLUMN spectral_class {text};
ALTER TABLE reading ADD COLUMN purpose {text} NOT NULL DEFAULT 'check';
ALTER TABLE reading ADD COLUMN barrier {whole};
ALTER TABLE reading ADD COLUMN tip_whole {whole};
ALTER TABLE reading ADD COLUMN barrier_smooth {whole};
ALTER TABLE reading ADD COLUMN vents_clear {whole};
ALTER TABLE reading ADD COLUMN disinfected {whole};
CREATE TABLE file_part (sha256 {text} NOT NULL, part {whole} NOT NULL, base64 {text} NOT NULL,
  PRIMARY KEY (sha256, part)){strict};
CREATE TABLE secret (name {text} NOT NULL PRIMARY KEY, value {text} NOT NULL){strict};
CREATE TABLE sign_in (fingerprint {text} NOT NULL PRIMARY KEY, account {whole} NOT NULL, page_token {text} NOT NULL,
  by_pin {whole} NOT NULL, shared {whole} NOT NULL, fresh_until_us {whole} NOT NULL, ends_us {whole} NOT NULL){strict};
)";

// A list of lights asks for the tips and the look-backs of each.
constexpr std::string_view kOfLight = R"(
CREATE INDEX tip_of_light ON tip (light) WHERE newest = 1;
CREATE INDEX look_back_of_light ON lookback (light) WHERE newest = 1;
)";

// Files that kept cases name, and what look-backs recomputed.
constexpr std::string_view kKeptCases = R"(
CREATE TABLE keptfile (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT
  NULL, path {text} NOT NULL, size {whole} NOT NULL, sha256 {text} NOT NULL, PRIMARY KEY (id, revision)){strict};
CREATE TABLE recomputed (id {whole} NOT NULL, revision {whole} NOT NULL, newest {whole} NOT NULL, change {whole} NOT
  NULL, look_back {whole} NOT NULL, restoration {whole} NOT NULL, of_revision {whole} NOT NULL, output_ln_mean {real}
  NOT NULL, output_ln_sd {real} NOT NULL, chance_under_cured {real}, why_not {text}, seed {whole} NOT NULL, engine
  {text} NOT NULL, at {whole} NOT NULL, PRIMARY KEY (id, revision)){strict};
CREATE UNIQUE INDEX keptfile_newest ON keptfile (id) WHERE newest = 1;
CREATE UNIQUE INDEX recomputed_newest ON recomputed (id) WHERE newest = 1;
CREATE INDEX keptfile_by_hash ON keptfile (sha256);
CREATE INDEX recomputed_of_look_back ON recomputed (look_back, restoration) WHERE newest = 1;
)";

// What a check was told when it was taken in; restorations by their chart number.
constexpr std::string_view kAsTold = R"(
ALTER TABLE reading ADD COLUMN told {text};
ALTER TABLE reading ADD COLUMN told_share {real};
ALTER TABLE reading ADD COLUMN told_baseline_mw_cm2 {real};
ALTER TABLE reading ADD COLUMN told_limits {text};
CREATE INDEX restoration_of_chart ON restoration (chart, placed_at) WHERE newest = 1;
)";

// What of a light's spectrum its radiometer may not see.
constexpr std::string_view kEmitsViolet = R"(
ALTER TABLE light ADD COLUMN emits_violet {whole};
)";

// Where restorations were made, which stays when their light moves; who says what a light gives.
constexpr std::string_view kMadeInRoom = R"(
ALTER TABLE restoration ADD COLUMN room {whole};
ALTER TABLE light ADD COLUMN claim_measured {whole};
CREATE INDEX restoration_made_in ON restoration (light, room, placed_at, id) WHERE newest = 1;
)";

constexpr std::array<std::string_view, 7> kSteps = {kRecords, kSignInAndLookBack, kOfLight,   kKeptCases,
                                                    kAsTold,  kEmitsViolet,       kMadeInRoom};

void replace_all(std::string& text, std::string_view what, std::string_view by) {
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + by.size())) {
    text.replace(at, what.size(), by);
  }
}

void run_step(Session& session, std::string_view step) {
  std::string sql(step);
  replace_all(sql, "{whole}", session.on_server() ? "BIGINT" : "INTEGER");
  replace_all(sql, "{real}", session.on_server() ? "DOUBLE PRECISION" : "REAL");
  replace_all(sql, "{text}", "TEXT");
  replace_all(sql, "{strict}", session.on_server() ? "" : " STRICT");
  for (std::size_t at = 0; at < sql.size();) {
    const std::size_t end = sql.find(';', at);
    if (end == std::string::npos) break;
    session.run(sql.substr(at, end - at));
    at = end + 1;
  }
}

bool has_tables(Session& session) {
  const char* const sql =
      session.on_server()
          ? "SELECT count(*) FROM information_schema.tables WHERE table_schema = current_schema() AND table_name = "
            "'tables_version'"
          : "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = 'tables_version'";
  return std::get<std::int64_t>(session.ask_one(sql, {}, {base::ValueType::kWhole}).at(0)) > 0;
}

}  // namespace

std::span<const std::string_view> migrations() { return kSteps; }

int version_of(Session& session) {
  if (!has_tables(session)) return 0;
  const Values found = session.ask_one("SELECT version FROM tables_version", {}, {base::ValueType::kWhole});
  return found.empty() ? 0 : static_cast<int>(std::get<std::int64_t>(found.front()));
}

void migrate_within(Session& session, int up_to) {
  const int now = version_of(session);
  if (now > static_cast<int>(kSteps.size())) {
    throw base::Failure("the records are of version " + std::to_string(now) + ", and this program knows " +
                        std::to_string(kSteps.size()) + " at most. Use the newer program that wrote them.");
  }
  if (!has_tables(session)) {
    session.run(session.on_server() ? "CREATE TABLE tables_version (version BIGINT NOT NULL)"
                                    : "CREATE TABLE tables_version (version INTEGER NOT NULL) STRICT");
    session.run("INSERT INTO tables_version (version) VALUES (0)");
  }
  for (int step = now; step < up_to; ++step) run_step(session, kSteps.at(static_cast<std::size_t>(step)));
  if (up_to > now) session.run("UPDATE tables_version SET version = :v0", {std::int64_t{up_to}});
}

void migrate(Session& session, int up_to) {
  session.begin_writing();
  try {
    migrate_within(session, up_to);
    session.commit();
  } catch (...) {
    session.roll_back();
    throw;
  }
}

void migrate(Session& session) { migrate(session, static_cast<int>(kSteps.size())); }

}  // namespace throughcure::store
