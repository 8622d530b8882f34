# toprail::lines: cases as lines of JSON. A target of its own: it needs simdjson.

find_package(simdjson 3 QUIET CONFIG)
if(NOT simdjson_FOUND)
    message(STATUS "toprail::lines is left out: it needs simdjson")
    return()
endif()

file(GLOB lines_sources CONFIGURE_DEPENDS src/lines/*.cpp)
if(NOT CMAKE_SYSTEM_PROCESSOR MATCHES "x86_64|AMD64")
    list(FILTER lines_sources EXCLUDE REGEX "/abreast_avx2")
endif()
# As in bulk.cmake: chosen at run time, and defines nothing that other files could share.
set_source_files_properties(src/lines/abreast_avx2.cpp PROPERTIES COMPILE_OPTIONS "-mavx2;-mbmi;-mbmi2")
add_library(toprail_lines STATIC ${lines_sources})
add_library(toprail::lines ALIAS toprail_lines)
set_target_properties(toprail_lines PROPERTIES EXPORT_NAME lines)
toprail_hold_to_warnings(toprail_lines)
target_include_directories(toprail_lines PRIVATE src)
target_link_libraries(
    toprail_lines
    PUBLIC toprail_bulk
    PRIVATE simdjson::simdjson $<BUILD_INTERFACE:Boost::headers>)

install(
    TARGETS toprail_lines
    EXPORT toprailLinesTargets
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT library)
install(
    EXPORT toprailLinesTargets
    NAMESPACE toprail::
    DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/toprail
    COMPONENT library)
toprail_pkg_config(lines "cases as lines of JSON" "toprail-bulk = ${PROJECT_VERSION}, simdjson >= 3" "")
