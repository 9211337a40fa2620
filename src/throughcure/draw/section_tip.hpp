// A light's tip in a section: to scale, with its beam's edges to the tooth.
#pragma once

#include <string>
#include <vector>

#include "throughcure/draw/look.hpp"
#include "throughcure/draw/picture.hpp"
#include "throughcure/draw/section_base.hpp"
#include "throughcure/draw/section_names.hpp"
#include "throughcure/plan/verdict.hpp"

namespace throughcure::draw {

/// The lit air between the tips' faces and the tooth: goes under the tissues.
void add_beams(std::vector<Mark>& marks, const SectionBase& base, const std::vector<plan::TipPlace>& tips,
               const Look& look);

/// The tips themselves with their diameters: over the tissues. Gives where their words stand.
std::vector<Box> add_tips(std::vector<Mark>& marks, const SectionBase& base, const std::vector<plan::TipPlace>& tips,
                          const Look& look);

/// "A tip 9.0 mm wide, its axis 20 degrees off upright towards distal." for one tip.
std::string tip_words(const SectionBase& base, const plan::TipPlace& tip);

}  // namespace throughcure::draw
