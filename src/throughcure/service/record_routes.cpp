#include "throughcure/service/record_routes.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include <nlohmann/json.hpp>

#include "throughcure/base/given.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_rooms.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/desk/record_rules.hpp"
#include "throughcure/desk/record_ties.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/service/record_json.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

constexpr Access kAll = Access::signed_in;

// Readings come in as checks, people and accounts by their own routes, attached files with their bytes, settings as
// policy, look-backs and decisions by what opens and signs them: here they are only seen.
constexpr std::array<RecordRights, 19> kRights = {{
    {"site", kAll, Access::lead, Access::lead},
    {"room", kAll, Access::lead, Access::lead},
    {"light", kAll, Access::lead, Access::lead},
    {"tip", kAll, Access::lead, Access::lead},
    {"radiometer", kAll, Access::lead, Access::lead},
    {"certificate", kAll, Access::lead, Access::lead},
    {"barrier", kAll, Access::clinician, Access::clinician},
    {"servicing", kAll, Access::assistant, Access::clinician},
    {"material", kAll, Access::clinician, Access::clinician},
    {"lot", kAll, Access::assistant, Access::clinician},
    {"scrape", kAll, Access::clinician, Access::clinician},
    {"disc", kAll, Access::clinician, Access::clinician},
    {"restoration", Access::assistant, Access::clinician, Access::clinician},
    {"reading", kAll, Access::open, Access::clinician},
    {"setting", kAll, Access::open, Access::open},
    {"attachment", Access::clinician, Access::open, Access::open},
    {"lookback", Access::clinician, Access::open, Access::open},
    {"decision", Access::clinician, Access::open, Access::open},
    {"person", Access::lead, Access::open, Access::open},
}};
// `open` above: not by these routes at all.

constexpr std::int64_t kMostAtOnce = 1000;
// Their rows hold chart numbers, and pages show a dozen: nobody is handed all of them at once.
constexpr std::int64_t kMostRestorations = 50;

using Values = std::vector<base::Value>;

std::string record_document(const store::Table& table, const store::Row& row) {
  return R"({"id":)" + std::to_string(row.id) + R"(,"revision":)" + std::to_string(row.revision) + R"(,"record":)" +
         record_json(table, row.values) + "}";
}

base::SiteId site_of(const desk::Places& places, const store::Table& table, std::int64_t id, const Values& values) {
  return table.kind == "site" ? base::SiteId{id} : places.site_of(table, values);
}

/// The record where it is theirs to see.
store::Row visible(const store::Reader& reader, const store::Table& table, std::int64_t id,
                   const practice::Member& member) {
  std::optional<store::Row> row = reader.newest(table, id);
  if (!row || !member.sees(site_of(desk::Places(reader), table, id, row->values))) {
    throw desk::Missing("There is no " + std::string(table.kind) + " of that number here.");
  }
  return *std::move(row);
}

/// A value of the query, as that column has it.
base::Value query_value(const base::Column& column, const std::string& text) {
  const auto wrong = [&]() {
    base::refuse(std::string(column.name), "\"" + text + "\" is no value of it", "Give one");
  };
  if (column.type == base::ValueType::kText) return text;
  if (column.meaning == base::Meaning::kInstant) {
    const auto at = read_instant(text);
    if (!at) wrong();
    return at->us;
  }
  if (column.meaning == base::Meaning::kYesNo) return std::int64_t{text == "true" ? 1 : 0};
  const json number = json::parse(text, nullptr, false);
  if (!number.is_number()) wrong();
  if (column.type == base::ValueType::kReal) return number.get<double>();
  if (!number.is_number_integer()) wrong();
  return number.get<std::int64_t>();
}

store::Query query_of(const Call& call, const store::Table& table) {
  store::Query query;
  for (const auto& [name, text] : call.target.query) {
    if (name == "limit" || name == "offset") continue;
    if (name == "descending") {
      query.descending = text == "true";
      continue;
    }
    const std::string& called = name == "order" ? text : name;
    const auto column = std::ranges::find(table.columns, called, &base::Column::name);
    // What is private never stands in an address: those are written down on the way.
    if (column == table.columns.end() || column->is_private) {
      base::refuse(called, "a " + std::string(table.kind) + " is not asked for by that", "Leave it out");
    }
    if (name == "order") {
      query.order_by = text;
    } else {
      query.where.push_back({name, store::Compare::kEqual, query_value(*column, text)});
    }
  }
  return query;
}

Response list(const Call& call, const RecordsDesk& desk, const store::Table& table) {
  store::Query query = query_of(call, table);
  const std::int64_t most = table.kind == "restoration" ? kMostRestorations : kMostAtOnce;
  const std::int64_t limit = std::clamp(number_in_query(call, "limit").value_or(100), std::int64_t{1}, most);
  std::int64_t skip = number_in_query(call, "offset").value_or(0);
  std::string rows;
  bool more = false;
  desk.records->read([&](const store::Reader& reader) {
    const desk::Places places(reader);
    const practice::Member& member = member_of(call);
    std::int64_t taken = 0;
    query.limit = kMostAtOnce;
    // What others may not see is left out before it is counted.
    for (bool last = false; !last && !more; query.offset += query.limit) {
      const std::vector<store::Row> piece = reader.rows(table, query);
      last = piece.size() < query.limit;
      for (const store::Row& row : piece) {
        if (!member.sees(site_of(places, table, row.id, row.values))) continue;
        if (skip > 0) {
          --skip;
          continue;
        }
        more = taken == limit;
        if (more) break;
        rows += (rows.empty() ? "" : ",") + record_document(table, row);
        ++taken;
      }
    }
  });
  return json_response(200, R"({"records":[)" + rows + R"(],"more":)" + (more ? "true" : "false") + "}\n");
}

Response show(const Call& call, const RecordsDesk& desk, const store::Table& table) {
  Response out;
  desk.records->read([&](const store::Reader& reader) {
    const store::Row row = visible(reader, table, number_in_path(call, "id"), member_of(call));
    out = json_response(200, record_document(table, row) + "\n");
  });
  return out;
}

Response history(const Call& call, const RecordsDesk& desk, const store::Table& table) {
  json revisions = json::array();
  desk.records->read([&](const store::Reader& reader) {
    const std::int64_t id = number_in_path(call, "id");
    visible(reader, table, id, member_of(call));
    for (const store::Row& row : reader.revisions(table, id)) {
      const practice::Change change = reader.changes(static_cast<std::uint64_t>(row.change), 1).at(0);
      revisions.push_back({{"revision", row.revision},
                           {"at", base::instant_text(change.at)},
                           {"person", change.person},
                           {"name", name_of(reader, change.person)},
                           {"record", json::parse(record_json(table, row.values))}});
    }
  });
  return json_response(200, json{{"revisions", revisions}}.dump() + "\n");
}

/// The record of the body, or all that is wrong with it.
Values body_values(const Call& call, const store::Table& table) {
  base::Problems problems;
  Values values = record_values(table, call.request.body, problems);
  base::refuse_if_any(problems);
  base::refuse_if_any(desk::record_problems(table, values));
  return values;
}

void must_be_theirs(const store::Reader& reader, const store::Table& table, const Values& values, const Call& call) {
  const practice::Member& member = member_of(call);
  const bool own = table.kind == "site" ? member.everywhere : member.sees(desk::Places(reader).site_of(table, values));
  if (!own) {
    throw desk::Forbidden("This belongs to another site than yours. Ask its lead, or one who leads everywhere.");
  }
}

Response add(const Call& call, const RecordsDesk& desk, const store::Table& table) {
  const Values values = body_values(call, table);
  base::refuse_if_any(desk::act_problems(table, nullptr, values));
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    const Values kept = desk::with_room(writer, table, nullptr, values);
    must_be_theirs(writer, table, kept, call);
    base::refuse_if_any(desk::tie_problems(writer, table, nullptr, kept, desk.settings.now()));
    document = once(writer, call, [&] {
      const std::int64_t id = writer.add(table, kept);
      desk::follow_addition(writer, table, kept);
      return R"({"id":)" + std::to_string(id) + R"(,"revision":1})" + "\n";
    });
  });
  return json_response(201, document);
}

Response correct(const Call& call, const RecordsDesk& desk, const store::Table& table) {
  const Values values = body_values(call, table);
  const std::int64_t id = number_in_path(call, "id");
  const std::int64_t revision = revision_in_query(call);
  std::string document;
  desk.records->write(author_of(call, desk), [&](store::Writer& writer) {
    const store::Row before = visible(writer, table, id, member_of(call));
    const Values kept = desk::with_room(writer, table, &before.values, values);
    if (table.kind != "site") must_be_theirs(writer, table, kept, call);
    document = once(writer, call, [&] {
      // What somebody else changed meanwhile was not changed by hand here: writer.correct tells of it.
      if (before.revision == revision) base::refuse_if_any(desk::act_problems(table, &before.values, values));
      base::refuse_if_any(desk::tie_problems(writer, table, &before.values, kept, desk.settings.now()));
      writer.correct(table, id, revision, kept);
      desk::follow_correction(writer, table, before.values, kept);
      const std::int64_t now = base::given(writer.newest(table, id)).revision;
      return R"({"id":)" + std::to_string(id) + R"(,"revision":)" + std::to_string(now) + "}\n";
    });
  });
  return json_response(200, std::move(document));
}

}  // namespace

std::span<const RecordRights> record_rights() { return kRights; }

std::vector<Route> record_routes(const RecordsDesk& desk) {
  std::vector<Route> routes;
  for (const RecordRights& rights : kRights) {
    const store::Table& table = *desk::table_called(rights.kind);
    const std::string kind(rights.kind);
    const std::string at = "/api/records/" + kind;
    const auto on = [&](auto work) {
      return on_desk(desk, [desk, &table, work](const Call& call) { return work(call, desk, table); });
    };
    routes.push_back({Method::get, at, rights.see, "Records of the kind \"" + kind + "\", oldest first.", on(list),
                      true, "", "List_" + kind, "limit offset order descending"});
    routes.push_back({Method::get, at + "/{id}/history", rights.see,
                      "All revisions of a " + kind + ", and who made them.", on(history), true, "", "History_" + kind});
    routes.push_back(
        {Method::get, at + "/{id}", rights.see, "A " + kind + " as it stands.", on(show), true, "", "Kept_" + kind});
    if (rights.add != Access::open) {
      routes.push_back({Method::post, at, rights.add, "Adds a " + kind + ".", on(add), true, kind, "Written"});
    }
    if (rights.correct != Access::open) {
      routes.push_back({Method::put, at + "/{id}", rights.correct,
                        "Corrects a " + kind + ": a new revision; the old one stays.", on(correct), true, kind,
                        "Written", "revision"});
    }
  }
  return routes;
}

}  // namespace throughcure::service
