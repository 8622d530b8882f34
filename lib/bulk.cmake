# toprail::bulk: deciding very many cases. A target of its own: it needs threads.

set(THREADS_PREFER_PTHREAD_FLAG ON)
find_package(Threads REQUIRED)

file(GLOB bulk_sources CONFIGURE_DEPENDS src/bulk/*.cpp)
if(NOT CMAKE_SYSTEM_PROCESSOR MATCHES "x86_64|AMD64")
    list(FILTER bulk_sources EXCLUDE REGEX "/kernel_avx")
endif()
# Only these files are compiled for more than every processor has; which is used is chosen at run
# time. They define nothing that other files could share.
set_source_files_properties(src/bulk/kernel_avx2.cpp PROPERTIES COMPILE_OPTIONS -mavx2)
set_source_files_properties(
    src/bulk/kernel_avx512.cpp PROPERTIES COMPILE_OPTIONS "-mavx512f;-mavx512bw;-mavx512dq;-mavx512vl")

add_library(toprail_bulk STATIC ${bulk_sources})
add_library(toprail::bulk ALIAS toprail_bulk)
set_target_properties(toprail_bulk PROPERTIES EXPORT_NAME bulk)
toprail_hold_to_warnings(toprail_bulk)
target_include_directories(toprail_bulk PRIVATE src)
target_link_libraries(
    toprail_bulk
    PUBLIC toprail Threads::Threads
    PRIVATE $<BUILD_INTERFACE:Boost::headers>)

install(
    TARGETS toprail_bulk
    EXPORT toprailBulkTargets
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT library)
install(
    EXPORT toprailBulkTargets
    NAMESPACE toprail::
    DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/toprail
    COMPONENT library)
toprail_pkg_config(bulk "very many cases" "toprail = ${PROJECT_VERSION}" "-pthread")
