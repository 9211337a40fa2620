#include "throughcure/practice/merkle.hpp"

#include <bit>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "ct_vectors.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::practice {
namespace {

// FIPS 180-4 example (published by NIST): "abc".
TEST(Digest, IsSha256OfThePartsInTurn) {
  const Digest abc = digest("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256({"abc"}), abc);
  EXPECT_EQ(sha256({"", "a", "bc", ""}), abc);
}

// Published: see ct_vectors.hpp.
TEST(Merkle, LeavesOfThePublishedVectors) {
  for (std::size_t i = 0; i < kCtLeaves.size(); ++i) {
    EXPECT_EQ(leaf_hash(kCtLeaves.at(i)), digest(kCtLeafHashes.at(i))) << i;
  }
}

TEST(Merkle, RootsOfThePublishedVectors) {
  RightEdge edge;
  for (std::size_t n = 0; n < kCtRoots.size(); ++n) {
    EXPECT_EQ(merkle_root(ct_leaf_hashes(n)), digest(kCtRoots.at(n))) << n;
    EXPECT_EQ(edge.root(), digest(kCtRoots.at(n))) << n;
    if (n < kCtLeaves.size()) edge.append(leaf_hash(kCtLeaves.at(n)));
  }
}

TEST(Merkle, ANodeIsNoLeaf) {
  const Digest a = leaf_hash("a");
  const Digest b = leaf_hash("b");
  EXPECT_NE(node_hash(a, b), leaf_hash(std::string(bytes_of(a)) + std::string(bytes_of(b))));
  EXPECT_NE(node_hash(a, b), node_hash(b, a));
}

// Computed with Python's hashlib by the recursive definition, leaves b"0", b"1", ...:
//   H = lambda *p: hashlib.sha256(b"".join(p)).digest()
//   def root(l): k = 1 << (len(l)-1).bit_length()-1; return l[0] if len(l) == 1 else H(b"\1", root(l[:k]), root(l[k:]))
TEST(Merkle, RootsOfLargerTrees) {
  EXPECT_EQ(merkle_root(numbered_leaves(1000)),
            digest("638afa98022925bacfddadb15ef22fd0199c1ac99c2973b6158243d13fce05c2"));
  EXPECT_EQ(merkle_root(numbered_leaves(1025)),
            digest("ba9b10a0d60d30dbfdff3c0bbd42e01be43185aade36ec0f7d720275efaf102b"));
}

RC_GTEST_PROP(RightEdge, GrowsAsTheDefinitionSays, ()) {
  const auto n = *rc::gen::inRange<std::size_t>(0, 300);
  const std::vector<Digest> leaves = numbered_leaves(n);
  RightEdge edge;
  for (const Digest& leaf : leaves) edge.append(leaf);
  RC_ASSERT(edge.size() == n);
  RC_ASSERT(edge.root() == merkle_root(leaves));
}

RC_GTEST_PROP(RightEdge, GoesOnFromWhatWasKept, ()) {
  const auto n = *rc::gen::inRange<std::size_t>(0, 300);
  const auto kept_at = *rc::gen::inRange<std::size_t>(0, n + 1);
  const std::vector<Digest> leaves = numbered_leaves(n);
  RightEdge edge;
  for (std::size_t i = 0; i < n; ++i) {
    if (i == kept_at) edge = RightEdge(edge.size(), std::vector<Digest>(edge.subtrees()));
    edge.append(leaves[i]);
  }
  RC_ASSERT(edge.root() == merkle_root(leaves));
  RC_ASSERT(static_cast<int>(edge.subtrees().size()) == std::popcount(n));
}

TEST(RightEdge, RefusesWhatNoTreeOfThatSizeHas) {
  EXPECT_THROW(RightEdge(3, {leaf_hash("a")}), base::Failure);
  EXPECT_THROW(RightEdge(0, {leaf_hash("a")}), base::Failure);
  EXPECT_THROW(RightEdge(4, {}), base::Failure);
  EXPECT_NO_THROW(RightEdge(4, {leaf_hash("a")}));
}

}  // namespace
}  // namespace throughcure::practice
