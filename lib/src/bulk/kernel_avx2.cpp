// Entry point: avx2_kernel, for AVX2.
#include "bulk/kernel.hpp"
#include "bulk/strip_kernel.hpp"

namespace toprail::bulk {
namespace {

using Words = std::uint64_t __attribute__((vector_size(32)));
using Here = Runner<Words, 2>;
using OneByOne = StripRunner<Words>;

}  // namespace

const Kernel avx2_kernel{"avx2",          Here::block_cases,  Here::plane_bytes,
                         &Here::run,      &OneByOne::outcome, &OneByOne::value,
                         &OneByOne::write};

}  // namespace toprail::bulk
