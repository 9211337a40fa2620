// What is written on a section: the contour's name, the target cells, the worst of them in words.
#pragma once

#include <string>
#include <vector>

#include "throughcure/draw/look.hpp"
#include "throughcure/draw/picture.hpp"
#include "throughcure/draw/section_base.hpp"
#include "throughcure/draw/section_names.hpp"
#include "throughcure/draw/section_picture.hpp"
#include "throughcure/draw/section_resin.hpp"

namespace throughcure::draw {

/// "hardness 0.80" at the contour's longest piece, led to from where it is free of names, cells, bands and what is
/// `written` already.
void add_contour_name(std::vector<Mark>& marks, const SectionBase& base, const SectionShown& shown,
                      const Contour& contour, const std::vector<Box>& written, const Look& look);

/// A mark at every deciding cell near the cut (filled: cures through, half: uncertain, open: stays soft), and the worst
/// cell's words under the section.
void add_cells(std::vector<Mark>& marks, const SectionBase& base, const SectionShown& shown, const Look& look);

/// "gingival floor, centre, stays soft, hardness ratio 0.71 (0.62 to 0.79)"; with its distance where it lies beside the
/// cut. Empty where there is none.
std::string worst_words(const SectionBase& base, const SectionShown& shown);

}  // namespace throughcure::draw
