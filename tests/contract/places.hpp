// An empty place in each database for a test, gone after it.
#pragma once

#include <memory>
#include <string>

#include <gtest/gtest.h>

#include "throughcure/store/place.hpp"

namespace throughcure::tests {

/// Makes places of one database, each of its own.
class Ground {
 public:
  virtual ~Ground() = default;
  [[nodiscard]] virtual store::Place place() const = 0;
};

/// "file" or "server" (tests/contract/with_postgresql.sh starts it).
std::unique_ptr<Ground> ground_called(const std::string& name);

class EveryDatabase : public testing::TestWithParam<std::string> {
 protected:
  EveryDatabase() : ground_(ground_called(GetParam())) {}
  [[nodiscard]] store::Place place() const { return ground_->place(); }

 private:
  std::unique_ptr<Ground> ground_;
};

inline auto both() { return testing::Values("file", "server"); }
inline std::string database_name(const testing::TestParamInfo<std::string>& tested) { return tested.param; }

}  // namespace throughcure::tests
