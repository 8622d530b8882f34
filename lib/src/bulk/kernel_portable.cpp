// Entry point: portable_kernel, for any processor.
#include "bulk/kernel.hpp"
#include "bulk/strip_kernel.hpp"

namespace toprail::bulk {
namespace {

using Words = std::uint64_t __attribute__((vector_size(16)));
using Here = Runner<Words, 4>;
using OneByOne = StripRunner<Words>;

}  // namespace

const Kernel portable_kernel{"portable",         Here::block_cases, Here::plane_bytes, &Here::run,
                             &OneByOne::outcome, &OneByOne::value,  &OneByOne::write};

}  // namespace toprail::bulk
