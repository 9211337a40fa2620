// The two looks of a section: ink on paper, and the same on the dark page. Resin has the conversion ramp in both.
#pragma once

#include "throughcure/draw/picture.hpp"

namespace throughcure::draw {

/// Fills are tones of the paper that only tell the tissues apart; lines and words are ink.
struct Look {
  Colour paper;
  Colour ink;
  Colour faint_ink;
  Colour line;  ///< of the tissues
  Colour enamel;
  Colour dentine;
  Colour pulp;
  Colour gingiva;
  Colour wedge;
  Colour neighbour_enamel;
  Colour neighbour_dentine;
  Colour tip;
  Colour beam;  ///< the air that the tip lights
};

inline constexpr Look kLightLook{.paper = kPaper,
                                 .ink = kInk,
                                 .faint_ink = kFaintInk,
                                 .line = {70, 72, 78},
                                 .enamel = {247, 247, 244},
                                 .dentine = {239, 235, 223},
                                 .pulp = {223, 216, 200},
                                 .gingiva = {232, 227, 217},
                                 .wedge = {214, 209, 196},
                                 .neighbour_enamel = {248, 248, 245},
                                 .neighbour_dentine = {244, 241, 233},
                                 .tip = {238, 236, 229},
                                 .beam = {255, 255, 255}};

inline constexpr Look kDarkLook{.paper = {21, 23, 26},
                                .ink = {235, 232, 223},
                                .faint_ink = {169, 172, 178},
                                .line = {150, 152, 156},
                                .enamel = {66, 69, 74},
                                .dentine = {47, 50, 54},
                                .pulp = {33, 35, 39},
                                .gingiva = {37, 39, 43},
                                .wedge = {56, 57, 58},
                                .neighbour_enamel = {52, 55, 59},
                                .neighbour_dentine = {40, 43, 47},
                                .tip = {30, 33, 37},
                                .beam = {34, 37, 42}};

}  // namespace throughcure::draw
