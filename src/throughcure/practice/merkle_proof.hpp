// Short proofs about a Merkle tree for somebody who knows only its root.
//
// Source: RFC 6962, sections 2.1.1 and 2.1.2 (what a proof holds); RFC 9162, sections 2.1.3.2 and 2.1.4.2 (how one is
// checked).
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "throughcure/practice/digest.hpp"

namespace throughcure::practice {

/// Hashes, the lowest in the tree first.
using Proof = std::vector<Digest>;

/// That the leaf at `index` (from 0) is one of these: at most log2 n hashes. Throws base::Failure when there is no such
/// leaf. Hashes all leaves.
Proof inclusion_proof(std::span<const Digest> leaves, std::uint64_t index);

/// Whether the proof shows that a leaf with this hash stands at `index` of the tree of `size` leaves with this root.
bool is_included(const Digest& leaf, std::uint64_t index, std::uint64_t size, const Digest& root,
                 std::span<const Digest> proof);

/// That the tree over the first `first` leaves has grown into the tree over all of them, with nothing changed. Empty
/// when `first` is 0 or all of them. Throws base::Failure when it is more than there are. Hashes all leaves.
Proof consistency_proof(std::span<const Digest> leaves, std::uint64_t first);

/// Whether the proof shows that the tree of `size` leaves with `root` is the tree of `first` leaves with `first_root`,
/// grown. Any tree has grown from the empty one (the RFC leaves that case out).
bool is_consistent(std::uint64_t first, const Digest& first_root, std::uint64_t size, const Digest& root,
                   std::span<const Digest> proof);

}  // namespace throughcure::practice
