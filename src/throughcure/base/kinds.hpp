// The kinds of records that a practice keeps, by name, so that rooms may refer to each other's records by number.
#pragma once

#include <compare>
#include <cstdint>
#include <string_view>

namespace throughcure::base {

/// Number of a record among its kind; counts from 1, 0 is none.
template <class Kind>
struct Id {
  std::int64_t number = 0;
  friend constexpr auto operator<=>(const Id&, const Id&) = default;
};

// One word each, no word of SQL: the tables are called so.
struct SiteKind {
  static constexpr std::string_view name = "site";
};
struct RoomKind {
  static constexpr std::string_view name = "room";
};
struct PersonKind {
  static constexpr std::string_view name = "person";
};
struct LightKind {
  static constexpr std::string_view name = "light";
};
struct TipKind {
  static constexpr std::string_view name = "tip";
};
struct RadiometerKind {
  static constexpr std::string_view name = "radiometer";
};
struct ReadingKind {
  static constexpr std::string_view name = "reading";
};
struct RestorationKind {
  static constexpr std::string_view name = "restoration";
};
struct SettingKind {
  static constexpr std::string_view name = "setting";
};
struct AccountKind {
  static constexpr std::string_view name = "account";
};
struct AttachmentKind {
  static constexpr std::string_view name = "attachment";
};
struct BarrierKind {
  static constexpr std::string_view name = "barrier";
};
struct CertificateKind {
  static constexpr std::string_view name = "certificate";
};
struct ServicingKind {
  static constexpr std::string_view name = "servicing";
};
struct MaterialKind {
  static constexpr std::string_view name = "material";
};
struct LotKind {
  static constexpr std::string_view name = "lot";
};
struct ScrapeKind {
  static constexpr std::string_view name = "scrape";
};
struct DiscKind {
  static constexpr std::string_view name = "disc";
};
struct LookBackKind {
  static constexpr std::string_view name = "lookback";
};
struct DecisionKind {
  static constexpr std::string_view name = "decision";
};
struct KeptFileKind {
  static constexpr std::string_view name = "keptfile";
};
struct RecomputedKind {
  static constexpr std::string_view name = "recomputed";
};

using SiteId = Id<SiteKind>;
using RoomId = Id<RoomKind>;
using PersonId = Id<PersonKind>;
using LightId = Id<LightKind>;
using TipId = Id<TipKind>;
using RadiometerId = Id<RadiometerKind>;
using ReadingId = Id<ReadingKind>;
using RestorationId = Id<RestorationKind>;
using SettingId = Id<SettingKind>;
using AccountId = Id<AccountKind>;
using AttachmentId = Id<AttachmentKind>;
using BarrierId = Id<BarrierKind>;
using CertificateId = Id<CertificateKind>;
using ServicingId = Id<ServicingKind>;
using MaterialId = Id<MaterialKind>;
using LotId = Id<LotKind>;
using ScrapeId = Id<ScrapeKind>;
using DiscId = Id<DiscKind>;
using LookBackId = Id<LookBackKind>;
using DecisionId = Id<DecisionKind>;
using KeptFileId = Id<KeptFileKind>;
using RecomputedId = Id<RecomputedKind>;

}  // namespace throughcure::base
