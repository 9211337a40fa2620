#include "throughcure/practice/merkle_proof.hpp"

#include <bit>
#include <string>

#include "throughcure/base/problem.hpp"
#include "throughcure/practice/merkle.hpp"

namespace throughcure::practice {

namespace {

using Leaves = std::span<const Digest>;

/// Where a tree of two leaves or more is split.
std::size_t split_of(Leaves leaves) { return std::bit_floor(leaves.size() - 1); }

/// PATH(m, D[n]) of RFC 6962, section 2.1.1.
Proof path(Leaves leaves, std::size_t m) {
  if (leaves.size() == 1) return {};
  const std::size_t k = split_of(leaves);
  const bool left = m < k;
  Proof proof = left ? path(leaves.first(k), m) : path(leaves.subspan(k), m - k);
  proof.push_back(merkle_root(left ? leaves.subspan(k) : leaves.first(k)));
  return proof;
}

/// SUBPROOF(m, D[n], b) of RFC 6962, section 2.1.2; `known`: the verifier has this subtree's root already.
Proof subproof(Leaves leaves, std::size_t m, bool known) {
  if (m == leaves.size()) return known ? Proof{} : Proof{merkle_root(leaves)};
  const std::size_t k = split_of(leaves);
  const bool left = m <= k;
  Proof proof = left ? subproof(leaves.first(k), m, known) : subproof(leaves.subspan(k), m - k, false);
  proof.push_back(merkle_root(left ? leaves.subspan(k) : leaves.first(k)));
  return proof;
}

/// Where a proof's walk from a node to the root stands: the node's place in its row, and that of the row's last node.
class Climb {
 public:
  Climb(std::uint64_t node, std::uint64_t last) : node_(node), last_(last) {}
  [[nodiscard]] bool at_root() const { return last_ == 0; }
  /// The next hash of the proof stands left of the node.
  [[nodiscard]] bool from_left() const { return (node_ & 1) == 1 || node_ == last_; }
  /// Up past the rows in which the node is a right child.
  void skip_right_children() {
    while ((node_ & 1) == 1) up();
  }
  /// Up one row, after first passing those in which the node, as the last one, has no sibling.
  void rise(bool from_left) {
    if (from_left) {
      while ((node_ & 1) == 0 && node_ != 0) up();
    }
    up();
  }

 private:
  void up() {
    node_ >>= 1;
    last_ >>= 1;
  }
  std::uint64_t node_;
  std::uint64_t last_;
};

}  // namespace

Proof inclusion_proof(Leaves leaves, std::uint64_t index) {
  if (index >= leaves.size()) {
    throw base::Failure("there is no leaf " + std::to_string(index) + " among " + std::to_string(leaves.size()));
  }
  return path(leaves, index);
}

bool is_included(const Digest& leaf, std::uint64_t index, std::uint64_t size, const Digest& root, Leaves proof) {
  if (index >= size) return false;
  Climb climb(index, size - 1);
  Digest built = leaf;
  for (const Digest& hash : proof) {
    if (climb.at_root()) return false;
    const bool from_left = climb.from_left();
    built = from_left ? node_hash(hash, built) : node_hash(built, hash);
    climb.rise(from_left);
  }
  return climb.at_root() && built == root;
}

Proof consistency_proof(Leaves leaves, std::uint64_t first) {
  if (first > leaves.size()) {
    throw base::Failure("a log of " + std::to_string(leaves.size()) + " cannot have grown from one of " +
                        std::to_string(first));
  }
  if (first == 0) return {};
  return subproof(leaves, first, true);
}

bool is_consistent(std::uint64_t first, const Digest& first_root, std::uint64_t size, const Digest& root,
                   Leaves proof) {
  if (first > size) return false;
  if (first == 0) return proof.empty() && first_root == merkle_root({}) && (size > 0 || root == first_root);
  if (first == size) return proof.empty() && first_root == root;
  // Where the old tree is one full subtree, its root is not repeated in the proof.
  const bool whole = std::has_single_bit(first);
  if (!whole && proof.empty()) return false;
  const Digest start = whole ? first_root : proof.front();
  Digest built_first = start;
  Digest built = start;
  Climb climb(first - 1, size - 1);
  climb.skip_right_children();
  for (const Digest& hash : whole ? proof : proof.subspan(1)) {
    if (climb.at_root()) return false;
    const bool from_left = climb.from_left();
    if (from_left) {
      built_first = node_hash(hash, built_first);
      built = node_hash(hash, built);
    } else {
      built = node_hash(built, hash);
    }
    climb.rise(from_left);
  }
  return climb.at_root() && built_first == first_root && built == root;
}

}  // namespace throughcure::practice
