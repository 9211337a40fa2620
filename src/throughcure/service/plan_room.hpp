// What planning keeps between two questions: the files that were read, the cases that were walked, their drawings.
#pragma once

#include <filesystem>
#include <functional>
#include <utility>

#include "throughcure/desk/kept_cases.hpp"
#include "throughcure/plan/ground.hpp"
#include "throughcure/service/drawings.hpp"
#include "throughcure/service/remembered_files.hpp"

namespace throughcure::service {

/// The chances at which a verdict changes its word, as they are in force when it is asked for.
using PolicyInForce = std::function<cure::Policy()>;

/// Shared by all routes that plan; lives as long as any of them. Safe from several threads.
struct PlanRoom {
  std::filesystem::path folder;  ///< of the practice's data: cases, lights, materials
  plan::Knowledge knowledge;
  RememberedFiles files;
  desk::KeptCases cases;
  Drawings drawings;

  PlanRoom(std::filesystem::path data_folder, plan::Knowledge known)
      : folder(std::move(data_folder)), knowledge(std::move(known)), files(folder), cases(knowledge) {}
};

}  // namespace throughcure::service
