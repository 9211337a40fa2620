// Reading the part of a case file that says which tooth, which cavity, and what is put in.
#pragma once

#include <vector>

#include "throughcure/anatomy/restoration.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

/// The site of a case, and the tables of its increments for whoever reads their materials.
struct CaseSite {
  anatomy::Site site;
  std::vector<TomlTable> increments;  ///< as many as the site has
  bool sound = false;                 ///< nothing is wrong with it; else its lengths may be stand-ins
};

/// Reads [tooth], [cavity. ...], [[increment]], [matrix] and the thickness of [adhesive]. What is wrong, by itself or
/// with the site that the parts make together (anatomy::site_problems), becomes a problem of the document.
CaseSite read_case_site(const TomlDocument& file);

}  // namespace throughcure::exchange
