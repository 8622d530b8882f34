# Finds the solver Z3 and its C++ interface: target z3::libz3, as Z3's own package names it. Debian
# ships no such package.

find_path(Z3_INCLUDE_DIR z3++.h PATH_SUFFIXES z3)
find_library(Z3_LIBRARY z3)
mark_as_advanced(Z3_INCLUDE_DIR Z3_LIBRARY)

include(FindPackageHandleStandardArgs)
find_package_handle_standard_args(Z3 REQUIRED_VARS Z3_LIBRARY Z3_INCLUDE_DIR)

if(Z3_FOUND AND NOT TARGET z3::libz3)
    add_library(z3::libz3 UNKNOWN IMPORTED)
    set_target_properties(
        z3::libz3 PROPERTIES IMPORTED_LOCATION "${Z3_LIBRARY}" INTERFACE_INCLUDE_DIRECTORIES
                                                               "${Z3_INCLUDE_DIR}")
endif()
