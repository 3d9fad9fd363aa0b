# pullcast_plugin(NAME source...) builds one plugin as NAME.so. Used inside this repository and by
# find_package(pullcast) outside it.
function(pullcast_plugin name)
  add_library(plugin_${name} MODULE ${ARGN})
  target_link_libraries(plugin_${name} PRIVATE pullcast::media)
  target_link_options(plugin_${name} PRIVATE -Wl,--no-undefined)
  set_target_properties(plugin_${name} PROPERTIES PREFIX "" OUTPUT_NAME ${name} CXX_VISIBILITY_PRESET hidden)
  if(PULLCAST_PLUGIN_OUTPUT)
    set_target_properties(plugin_${name} PROPERTIES LIBRARY_OUTPUT_DIRECTORY ${PULLCAST_PLUGIN_OUTPUT})
  endif()
endfunction()
