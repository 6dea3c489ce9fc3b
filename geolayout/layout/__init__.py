"""Where everything goes: ground, rows, trees and passes, as pure geometry in metres."""
