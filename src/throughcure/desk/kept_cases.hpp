// Cases that somebody is working on, kept with the rays that were walked for them: a new pose is then a dot product.
#pragma once

#include <cstddef>
#include <list>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <utility>

#include "throughcure/anatomy/cutting_plane.hpp"
#include "throughcure/base/parallel.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/plan/rays.hpp"

namespace throughcure::desk {

/// One case without its schedule. Whoever works with it holds `working`.
struct KeptCase {
  std::mutex working{};
  std::shared_ptr<const plan::Ground> ground{};
  plan::Rays rays{};                                                            ///< of the targets
  std::map<std::pair<anatomy::CutDirection, double>, plan::Rays> field_rays{};  ///< of drawings, by cut
};

/// The last few cases; the least recently used goes first. Safe from several threads.
class KeptCases {
 public:
  explicit KeptCases(plan::Knowledge knowledge, std::size_t most = 3);

  /// The case of that key, made ready when it is new. The key must tell apart everything of a case but its schedule,
  /// its patient and its name; cases that are judged by another policy are kept apart here. None: that of the
  /// knowledge. Throws as plan::prepare does.
  std::shared_ptr<KeptCase> of(const std::string& key, const plan::Case& c, const base::Running& running,
                               const std::optional<cure::Policy>& policy = std::nullopt);

 private:
  plan::Knowledge knowledge_;
  std::size_t most_;
  std::mutex mutex_;
  std::list<std::pair<std::string, std::shared_ptr<KeptCase>>> kept_;  ///< the last used first
};

}  // namespace throughcure::desk
