@echo off
rem Starts Rodhand for the phones and tablets on this machine's own network too, with a key.
call "%~dp0..\Start-Rodhand-Windows.bat" --network
