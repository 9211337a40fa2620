// The cavities that can be cut into a tooth, with sizes to start from.
#pragma once

#include <string>
#include <vector>

#include "throughcure/anatomy/cavity.hpp"
#include "throughcure/anatomy/restoration.hpp"
#include "throughcure/anatomy/tooth_number.hpp"

namespace throughcure::service {

/// One kind of cavity in one tooth: sound as it is (anatomy::site_problems finds nothing).
struct CavityChoice {
  std::string name;  ///< "Class II, distal-occlusal"
  anatomy::Cavity cavity;
  std::vector<anatomy::Increment> increments;  ///< that fill it: of 2 mm, the last to the top
};

/// Every kind that this tooth can take, of middling size; less deep where the tooth is small. Never one that would be
/// refused.
std::vector<CavityChoice> cavity_choices(const anatomy::ToothNumber& tooth);

}  // namespace throughcure::service
