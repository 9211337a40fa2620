// The kept light of the scrape test's mould, as reference/mould.toml holds it.
#pragma once

#include <string>
#include <string_view>

#include "throughcure/cure/draw.hpp"
#include "throughcure/cure/mould_table.hpp"

namespace throughcure::exchange {

/// The text of reference/mould.toml: logarithms to 0.001 as whole numbers. Nodes and rows stand as texts, for a
/// reference file allows no bare arrays of numbers. Standard errors are not kept: they follow from the number of
/// packets.
std::string mould_table_text(const cure::MouldTable& table);

/// Reads such a text; `name` stands for the file. Throws base::InputError with all problems.
cure::MouldTable parse_mould_table(std::string_view text, std::string name);

/// The embedded table, parsed once for each call (some ten milliseconds).
cure::MouldTable reference_mould_table();

/// Everything that draws of a material are made from: the embedded priors, the steel's reflectance and the mould's
/// table.
cure::DrawSource draw_source(cure::Material material);

}  // namespace throughcure::exchange
