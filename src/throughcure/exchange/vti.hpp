// Fields on a regular grid as VTK XML image data (.vti), for programs that show volumes.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "throughcure/base/vec3.hpp"

namespace throughcure::exchange {

/// One named quantity with its unit in the name ("fluence rate [mW/cm2]"); x runs fastest, then y, then z.
struct GridField {
  std::string name;
  std::vector<float> values;
};

/// A grid whose axes are those of the scene. Values lie at its nodes, or in the middle of its cells, of which there is
/// one fewer along each axis.
struct GridData {
  base::Point first;                   ///< node [mm]
  base::Vec spacing;                   ///< between nodes [mm]; each > 0
  std::array<std::size_t, 3> nodes{};  ///< along x, y, z; two or more each
  bool in_cells = false;
  std::vector<GridField> fields;  ///< one at least; names differ

  /// How many values a field has.
  [[nodiscard]] std::size_t count() const {
    const std::size_t less = in_cells ? 1 : 0;
    return (nodes[0] - less) * (nodes[1] - less) * (nodes[2] - less);
  }
};

/// The file's text: Float32, little-endian, base64 in place (a length of eight bytes before each field's values), not
/// compressed; x runs fastest. Source of the format: VTK file formats, XML image data (documented by its makers). Read
/// once by hand with their own reader (vtkXMLImageDataReader 9.1, Debian's python3-vtk9): of a case with one increment
/// both fields came back bit for bit (184,275 cells), extent and spacing as given, and the slice through the middle
/// stood upright, crown above gingiva. Throws base::Failure, naming the field, where counts, sizes or names do not fit.
std::string vti_text(const GridData& data);

/// Writes it by base::write_file.
void write_vti(const std::filesystem::path& path, const GridData& data);

}  // namespace throughcure::exchange
