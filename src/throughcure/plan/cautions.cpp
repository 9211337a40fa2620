#include "throughcure/plan/cautions.hpp"

namespace throughcure::plan {

std::vector<Caution> cautions(const Patient& patient) {
  std::vector<Caution> list;
  if (patient.no_natural_lens) {
    list.push_back({Act::kLight,
                    "This patient has no natural lens, which holds violet and blue light back: shield the patient's "
                    "eyes fully."});
  }
  if (patient.photosensitive) {
    list.push_back({Act::kLight,
                    "This patient is photosensitive: shield eyes and skin, and ask the physician before blue light is "
                    "used."});
  }
  for (const char* sentence :
       {"Filter glasses or a shield for everybody near, each time: blue light harms the retina.",
        "Never fewer seconds than the instructions for use of the material and the light ask for.",
        "Long exposures warm pulp and gingiva: pause between them and blow air."}) {
    list.push_back({Act::kLight, sentence});
  }
  for (const char* sentence :
       {"The material's instructions for use come first, then local rules and your own judgement.",
        "This says nothing of shrinkage stress or marginal gaps."}) {
    list.push_back({Act::kPlan, sentence});
  }
  return list;
}

}  // namespace throughcure::plan
