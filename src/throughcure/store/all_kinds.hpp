// Every kind of record, in one list: for what is the same for all of them.
#pragma once

#include <type_traits>

#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/account.hpp"
#include "throughcure/practice/attachment.hpp"
#include "throughcure/practice/kept_file.hpp"
#include "throughcure/practice/look_back.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/person.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/practice/recomputed.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/practice/setting.hpp"

namespace throughcure::store {

template <class... Records>
struct Kinds {
  /// Calls `work` with std::type_identity of each.
  template <class Work>
  static void each(const Work& work) {
    (work(std::type_identity<Records>{}), ...);
  }
};

using AllKinds =
    Kinds<practice::Site, practice::Room, practice::Person, practice::Account, practice::Setting, practice::Restoration,
          practice::Attachment, practice::MaterialEntry, practice::Lot, practice::ScrapeTest, practice::DiscTest,
          practice::LookBack, practice::Decision, practice::KeptFile, practice::Recomputed, fleet::LightEntry,
          fleet::TipEntry, fleet::RadiometerEntry, fleet::BarrierEntry, fleet::CertificateEntry, fleet::ServicingEntry,
          fleet::ReadingEntry>;

}  // namespace throughcure::store
