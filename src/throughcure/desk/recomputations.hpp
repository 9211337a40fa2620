// What the restorations of a look-back were recomputed to, and whether that still holds.
#pragma once

#include <map>
#include <string>

#include "throughcure/desk/look_back_output.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/practice/recomputed.hpp"

namespace throughcure::desk {

/// Looked up once for all of a look-back.
class Recomputations {
 public:
  /// Of it and of those merged into it, the newest of each restoration. `engine` is this program's version.
  Recomputations(const store::Reader& reader, const store::Kept<practice::LookBack>& look_back, std::string engine);

  /// Null where it was never recomputed, or where since then the restoration was corrected, the light's output is
  /// estimated otherwise (a reading was corrected, another look-back merged) or the program is another one.
  [[nodiscard]] const practice::Recomputed* find(const store::Kept<practice::Restoration>& restoration,
                                                 const OutputThen& output) const;

 private:
  std::string engine_;
  std::map<std::int64_t, practice::Recomputed> newest_;  ///< by the restoration's number
};

}  // namespace throughcure::desk
