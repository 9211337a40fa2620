#include "throughcure/desk/chart_search.hpp"

#include "throughcure/desk/light_record.hpp"
#include "throughcure/desk/scope.hpp"

namespace throughcure::desk {

namespace {

using store::Compare;

template <class Member>
Member member_of(const base::Value& value) {
  return base::Kept<Member>::from(value);
}

store::Query query_of(const ChartSearch& wanted) {
  store::Query query{.where = {{"chart", Compare::kEqual, wanted.chart}},
                     .order_by = "placed_at",
                     .descending = true,
                     .limit = kAllOfThem};
  if (wanted.tooth) query.where.push_back({"tooth", Compare::kEqual, *wanted.tooth});
  if (wanted.from) query.where.push_back({"placed_at", Compare::kAtLeast, wanted.from->us});
  if (wanted.to) query.where.push_back({"placed_at", Compare::kBelow, wanted.to->us});
  return query;
}

}  // namespace

FoundRestorations restorations_of_chart(const store::Reader& reader, const practice::Member& member,
                                        const ChartSearch& wanted) {
  const Places places(reader);
  FoundRestorations found;
  reader.pick(store::table_of<practice::Restoration>(),
              {{"id"}, {"light"}, {"tooth"}, {"surfaces"}, {"placed_at"}, {"probability"}, {"room"}}, query_of(wanted),
              [&](const std::vector<base::Value>& row) {
                const base::SiteId site =
                    places.site_of(member_of<std::optional<base::RoomId>>(row[6]), member_of<base::LightId>(row[1]));
                if (!member.sees(site)) return;
                found.more = found.restorations.size() == kMostFound;
                if (found.more) return;
                found.restorations.push_back({.id = {member_of<std::int64_t>(row[0])},
                                              .tooth = member_of<std::string>(row[2]),
                                              .surfaces = member_of<std::string>(row[3]),
                                              .placed_at = member_of<base::Instant>(row[4]),
                                              .probability = member_of<std::optional<double>>(row[5])});
              });
  return found;
}

}  // namespace throughcure::desk
