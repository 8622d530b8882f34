// The entry point of toprail-tests; doctest writes main() here and nowhere else.

#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>
