# Looks for the headers of PostgreSQL's server, and says in TOPRAIL_POSTGRES_LACKS what is missing.

set(TOPRAIL_POSTGRES_LACKS "")
find_program(TOPRAIL_PG_CONFIG pg_config PATHS /usr/lib/postgresql/15/bin NO_DEFAULT_PATH)
find_program(TOPRAIL_PG_CONFIG pg_config)
mark_as_advanced(TOPRAIL_PG_CONFIG)
if(NOT TOPRAIL_PG_CONFIG)
    set(TOPRAIL_POSTGRES_LACKS "pg_config (postgresql-server-dev-15) was not found")
    return()
endif()
execute_process(
    COMMAND ${TOPRAIL_PG_CONFIG} --version OUTPUT_VARIABLE version COMMAND_ERROR_IS_FATAL ANY)
execute_process(
    COMMAND ${TOPRAIL_PG_CONFIG} --includedir-server
    OUTPUT_VARIABLE TOPRAIL_POSTGRES_HEADERS
    OUTPUT_STRIP_TRAILING_WHITESPACE COMMAND_ERROR_IS_FATAL ANY)
if(NOT version MATCHES "PostgreSQL 15\\.")
    set(TOPRAIL_POSTGRES_LACKS "the extension is written for PostgreSQL 15, not ${version}")
elseif(NOT EXISTS ${TOPRAIL_POSTGRES_HEADERS}/postgres.h)
    set(TOPRAIL_POSTGRES_LACKS "the server's headers (postgresql-server-dev-15) were not found")
endif()
string(STRIP "${TOPRAIL_POSTGRES_LACKS}" TOPRAIL_POSTGRES_LACKS)
