// Look-backs as the records hold them: opened, merged, closed, opened again; which restorations they name.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "throughcure/desk/light_state.hpp"
#include "throughcure/practice/look_back.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// When the light was last known to be good before a failure: its last reading that vouched for it and was not below
/// its limits. None where there was none.
std::optional<base::Instant> last_good(const LightRecord& record, const std::vector<Judged>& readings,
                                       base::Instant before);

/// The newest look-back of a light that is neither closed nor merged.
std::optional<base::LookBackId> open_look_back(const store::Reader& reader, base::LightId light);

/// Whether a light may have been cured with: it was accepted, or a restoration is on record with it all the same.
bool was_used(const store::Reader& reader, const store::Kept<fleet::LightEntry>& light);

/// Takes the light out of use and opens a look-back of it.
base::LookBackId withdraw(store::Writer& writer, const LightRecord& record, const practice::LookBack& look_back);

/// It and those merged into it.
std::vector<store::Kept<practice::LookBack>> family_of(const store::Reader& reader,
                                                       const store::Kept<practice::LookBack>& head);

/// A restoration that a look-back names, as far as a list of very many is ranked and sifted by it.
struct LookBackPart {
  base::RestorationId restoration;
  std::int64_t revision = 0;
  base::Instant placed_at{};
  bool has_case = false;
  std::optional<base::DecisionId> decision{};  ///< the newest one
  practice::Followup followup{};               ///< what it says
};

/// The restorations made with the light after its last good check (at that very instant too) and until it came back to
/// use, by their numbers; those of look-backs merged into it as well, each once.
std::vector<LookBackPart> parts_of(const store::Reader& reader, const store::Kept<practice::LookBack>& look_back);

/// The same restoration in full, but for its case: that may be long.
store::Kept<practice::Restoration> without_case(const store::Reader& reader, base::RestorationId restoration);

/// How many restorations a look-back names, and of how many something was decided: without reading them.
struct LookBackCounts {
  std::size_t restorations = 0;
  std::size_t decided = 0;
};
LookBackCounts counts_of(const store::Reader& reader, const store::Kept<practice::LookBack>& look_back);

/// The same, with the numbers of those of which something was decided, in order.
struct LookBackTally {
  std::size_t restorations = 0;
  std::vector<std::int64_t> decided{};
};
LookBackTally tally_of(const store::Reader& reader, const store::Kept<practice::LookBack>& look_back);

/// Numbers of the restorations that it names and that were made in a room, in order.
std::vector<std::int64_t> made_in(const store::Reader& reader, const store::Kept<practice::LookBack>& look_back,
                                  base::RoomId room);

/// Whether a look-back names a restoration; the restoration then, with its case.
std::optional<store::Kept<practice::Restoration>> part_called(const store::Reader& reader,
                                                              const store::Kept<practice::LookBack>& look_back,
                                                              base::RestorationId restoration);

/// From the last good check, if there was one, to the failure.
struct Span {
  std::optional<base::Instant> from;
  base::Instant until;
};
/// Those of the look-back and of what was merged into it, by their ends; never empty. Between two of them the light was
/// good.
std::vector<Span> spans_of(const store::Reader& reader, const store::Kept<practice::LookBack>& look_back);

/// Closes it. Throws base::InputError while a restoration of it has no decision.
void close_look_back(store::Writer& writer, base::LookBackId id, base::Instant now);
void reopen_look_back(store::Writer& writer, base::LookBackId id);
/// What is found under `id` belongs to `into` from then on. Throws base::InputError where they are not of one light,
/// one and the same, or merged already.
void merge_look_back(store::Writer& writer, base::LookBackId id, base::LookBackId into);

/// A look-back of the light that was closed is opened again where it names a restoration of which nothing was decided:
/// another one was merged into it, or a restoration was recorded or corrected since.
void reopen_where_undecided(store::Writer& writer, base::LightId light);

/// Look-backs of the light begin with an earlier good check where the one that they began with is good no more: its
/// reading was corrected, or one was sent late. They begin with a later one that is good now, where nothing was decided
/// of the restorations that drop out.
void reach_back(store::Writer& writer, base::LightId light);

/// What records that were added mean for look-backs of their light, whatever day they are of: restorations, readings,
/// what was done to it.
void follow_additions(store::Writer& writer, base::LightId light);
/// The same of one record; of other kinds nothing.
void follow_addition(store::Writer& writer, const store::Table& table, const std::vector<base::Value>& added);

/// What a correction means for look-backs, both of the light that a record named before and of the one that it names.
void follow_correction(store::Writer& writer, const store::Table& table, const std::vector<base::Value>& before,
                       const std::vector<base::Value>& after);

}  // namespace throughcure::desk
